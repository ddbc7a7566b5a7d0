"""The judgement: findings drafted from the evidence, and the gaps still to be closed before issuing.

May import the notebook, the boat, the catalogue and the methods.
"""
