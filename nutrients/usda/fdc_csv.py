"""The CSV download of FoodData Central: SR Legacy, Foundation Foods, or the whole.

Files and columns after USDA's description of the download files (from memory). Amounts are per 100 g of the
edible part. `food_nutrient.csv` names nutrients by their id, which `nutrient.csv` joins to the older numbers.
"""

import csv
from collections.abc import Collection, Iterator
from operator import itemgetter

from nutrients.usda.archive import FDC_FILES, Archive, BadFile
from nutrients.usda.columns import Column, Columns
from nutrients.usda.foods import NotTaken, Release, UsdaFood, ndb_number

RELEASES = {"sr_legacy_food": Release.SR_LEGACY, "foundation_food": Release.FOUNDATION}
BRANDED = "branded_food"
NDB_FILES = {Release.SR_LEGACY: "sr_legacy_food.csv", Release.FOUNDATION: "foundation_food.csv"}
NO_UNIT = {"", "undetermined"}  # unit 9999: the modifier says it all


def rows(archive: Archive, name: str, columns: Collection[str]) -> Iterator[tuple[int, tuple[str, ...]]]:
    """The first line and the asked columns (two or more) of every row, read as they are asked for.

    Raises BadFile for a column that is missing, a row with too few or too many cells, and an open quote.
    """
    reader = csv.reader(archive.lines(name, "utf-8"), strict=True)
    line = 1
    try:
        header = next(reader, [])
        for column in columns:
            if column not in header:
                raise BadFile(name, line, f"the column {column!r} is missing")
        asked = itemgetter(*map(header.index, columns))
        line = reader.line_num + 1
        for cells in reader:
            if len(cells) == len(header):
                yield line, asked(cells)
            elif cells:
                raise BadFile(name, line, f"{len(header)} cells were expected, not {len(cells)}")
            line = reader.line_num + 1
    except csv.Error as problem:
        raise BadFile(name, line, problem) from None


class FdcCsv:
    foods_file = "food.csv"
    values_file = "food_nutrient.csv"
    measures_file = "food_portion.csv"

    def __init__(self, archive: Archive, columns: Columns):
        archive.require(*FDC_FILES)
        self._archive = archive
        self._columns = columns

    def foods(self) -> Iterator[UsdaFood | NotTaken]:
        categories = {
            key: (code.zfill(4), name)
            for _, (key, code, name) in self._rows("food_category.csv", "id", "code", "description")
        }
        ndb_numbers = self._ndb_numbers()
        asked = "fdc_id", "data_type", "description", "food_category_id", "publication_date"
        for line, (key, kind, description, category, published) in self._rows("food.csv", *asked):
            release = RELEASES.get(kind)
            if release is None:
                # A branded food is named by its number: its description is a trade name.
                yield NotTaken(key, line, reason_against(kind), key if kind == BRANDED else description)
                continue
            if category and category not in categories:
                raise BadFile("food.csv", line, f"there is no food category {category!r}")
            code, name = categories.get(category, ("", ""))
            ref = ndb_numbers.get(key) or f"FDC {key}"
            yield UsdaFood(key, line, release, ref, description, code, name, published)

    def _ndb_numbers(self) -> dict[str, str]:
        """fdc_id -> NDB number, from the files that the download has."""
        return {
            key: ndb_number(number)
            for name in NDB_FILES.values()
            if name in self._archive
            for _, (key, number) in self._rows(name, "fdc_id", "NDB_number")
            if number.strip()
        }

    def values(self, wanted: Collection[str], others: Collection[str]) -> Iterator[tuple]:
        """Line, food, column (None: not kept here) and the amount as it is written, of the wanted foods."""
        nutrients = self._nutrients()
        name = self.values_file
        for line, (food, nutrient, amount) in self._rows(name, "fdc_id", "nutrient_id", "amount"):
            if food in wanted:
                if nutrient not in nutrients:
                    raise BadFile(name, line, f"there is no nutrient {nutrient!r} in nutrient.csv")
                yield line, food, nutrients[nutrient], amount
            elif food not in others:
                raise BadFile(name, line, f"there is no food {food!r} in food.csv")

    def _nutrients(self) -> dict[str, Column | None]:
        """Columns by nutrient id, and by number for the files that use it (numbers lie below 1000)."""
        name = "nutrient.csv"
        defined = {}
        for line, (key, number, unit) in self._rows(name, "id", "nutrient_nbr", "unit_name"):
            number = number.removesuffix(".0")
            column = self._columns.defined(name, line, number, unit)
            defined[key] = column
            defined.setdefault(number, column)
        return defined

    def measures(self, wanted: Collection[str], others: Collection[str]) -> Iterator[tuple]:
        """Line, food, amount, label and weight, as they are written, of the wanted foods."""
        units = dict(cells for _, cells in self._rows("measure_unit.csv", "id", "name"))
        name = self.measures_file
        asked = "fdc_id", "amount", "measure_unit_id", "portion_description", "modifier", "gram_weight"
        for line, (food, amount, unit, description, modifier, grams) in self._rows(name, *asked):
            if food in wanted:
                if unit and unit not in units:
                    raise BadFile(name, line, f"there is no unit {unit!r} in measure_unit.csv")
                word = units.get(unit, "")
                parts = ("" if word in NO_UNIT else word, description.strip(), modifier.strip())
                yield line, food, amount, ", ".join(part for part in parts if part), grams
            elif food not in others:
                raise BadFile(name, line, f"there is no food {food!r} in food.csv")

    def _rows(self, name: str, *columns: str) -> Iterator[tuple[int, tuple[str, ...]]]:
        return rows(self._archive, name, columns)


def reason_against(kind: str) -> str:
    if kind == BRANDED:
        return "branded food: it would bring trade names into the library"
    return f"not a food to cook with: USDA's data type {kind!r}"
