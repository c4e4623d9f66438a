"""Steps from one version of the tables to the next, each a file in `versions`.

A new one: write it by hand in plain types, with the one before as `down_revision`; change tables.py alike and
raise its HEAD; the tests compare both on both databases. Removing a column takes two releases.
"""
