"""Simple three-dimensional models and shot lists for the demo's photographs; invented throughout."""
