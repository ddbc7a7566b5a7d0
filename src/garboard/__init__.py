"""Garboard: the working tool of an independent small-craft marine surveyor."""
