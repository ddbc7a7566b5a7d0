"""The programs' door: entries and files exchanged with devices and other desks, described by OpenAPI.

What is exchanged are the entries themselves. Sending again does no harm; what is refused is named one by one; what
is acknowledged is on the disk.
"""
