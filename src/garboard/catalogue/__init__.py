"""The catalogue: which parts a boat can have, how each is examined, and the rule that derives a schedule.

May import the notebook and the boat.
"""
