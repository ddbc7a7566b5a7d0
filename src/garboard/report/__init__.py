"""The report: a Survey composed into one format-neutral document, and the writers that set it.

May import the core and the drawings. `document` is the data, `compose` makes it, one writer a format.
"""
