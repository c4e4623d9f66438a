"""Steps from one version of the tables to the next, each a file in `versions`.

Before the first release there is one, made from tables.py. After it, a new one is written by hand in plain types with
the one before as `down_revision`; change tables.py alike and raise its HEAD; the tests compare both on both databases.
Removing a column takes two releases.
"""
