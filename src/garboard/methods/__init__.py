"""The methods: what readings mean, as pure functions; their criteria and check values as data.

May import the notebook, the boat and the catalogue.
"""
