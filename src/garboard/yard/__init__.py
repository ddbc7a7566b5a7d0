"""The yard: the page that captures with no signal, and what the browser's Python answers it.

`bundle` gathers the files the page consists of, for the desk to serve; it alone touches the disk. Everything else
here runs in the browser as well: it imports the core and nothing else of ours.
"""
