"""The dossier: a survey as a folder of plain files, read into entries and written back.

May import the core and the report.
"""
