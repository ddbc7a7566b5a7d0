"""The store: entries in a database that only grows, and files by their hash.

May import the core. The desk stands on it.
"""
