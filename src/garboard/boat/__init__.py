"""The boat: its identity number, the figures of its dimensions, and a schematic hull to place things on.

May import the notebook alone.
"""
