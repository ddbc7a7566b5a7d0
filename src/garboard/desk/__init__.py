"""The desk: one server on which a survey is carried from the first call to the finished report.

May import everything but the command line.
"""
