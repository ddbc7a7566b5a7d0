"""The notebook: every act of a survey as a small immutable entry, and the fold that makes a Survey of them.

Imports nothing else of ours. `entry` and `body` are the data, `shape` reads and writes them as JSON,
`fold` makes the Survey, `ids` and `canonical` make them comparable.
"""
