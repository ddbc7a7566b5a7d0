"""The archive: signing an issued report, and telling years later whether it is unchanged.

May import the core and the report.
"""
