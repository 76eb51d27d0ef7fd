"""Bringing dogs, their owners and weigh-ins in from a CSV file.

`table` reads the file, `columns` says what a column can hold and guesses it, `cells` reads a cell, `lines` a
line; `standing` is what is on record already, `matching` holds the file against it; `writing` writes.
"""
