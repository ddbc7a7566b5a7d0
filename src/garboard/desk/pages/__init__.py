"""The pages, a module each: its addresses in `ROUTES`, a function for each of them."""
