"""The drawings: SVG made by pure functions, schematic, legible in black and white.

May import the core: notebook, boat, catalogue, methods, judgement.
"""
