"""The whole nutrient database as a set of CSV tables in one zip file, out and in again.

`tables` says which table holds which model, `export` writes them, `archive` opens a file that came from
elsewhere, and `importing` checks it and brings it in. What every column means stands in
`fixtures/database_dictionary.csv`, which goes along as `dictionary.csv`.
"""
