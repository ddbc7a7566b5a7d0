"""The sections of a report, one subject a file: each a function from a `Case` to blocks.

May import the core, the drawings and `report.document`.
"""
