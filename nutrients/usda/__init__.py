"""USDA's food composition downloads, from raw files to named foods and amounts. No Django.

`archive` opens a folder or a zip, `fdc_csv` and `sr_ascii` know the published layouts, `columns` and `groups`
say what a nutrient number and a description mean here, `selection` chooses, `reading` puts it together.
"""

from nutrients.usda.archive import Archive, BadFile, silent
from nutrients.usda.columns import Columns
from nutrients.usda.foods import Household, LeftOut, Release, UsdaFood
from nutrients.usda.groups import GroupRules, Kind
from nutrients.usda.reading import Reading, Tables, read

__all__ = [
    "Archive",
    "BadFile",
    "Columns",
    "GroupRules",
    "Household",
    "Kind",
    "LeftOut",
    "Reading",
    "Release",
    "Tables",
    "UsdaFood",
    "read",
    "silent",
]
