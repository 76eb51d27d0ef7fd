"""Reading a whole download: which foods are wanted, and what is published of them."""

import math
from collections.abc import Collection
from dataclasses import dataclass, field

from nutrients.usda.amounts import Amounts
from nutrients.usda.archive import Archive, BadFile
from nutrients.usda.columns import Column, Columns
from nutrients.usda.fdc_csv import FdcCsv
from nutrients.usda.foods import Household, LeftOut, UsdaFood
from nutrients.usda.groups import GroupRules, Kind
from nutrients.usda.selection import Selection, select
from nutrients.usda.sr_ascii import SrAbbreviated, SrAscii

BY_DIFFERENCE = "205"  # carbohydrate: 100 less everything else, which can come out below zero
MOST_G_PER_100G = 105  # analyses of all parts of a food do not add up to 100 exactly
LEAST_MEASURE = 0.001

BELOW_ZERO = "carbohydrate by difference below zero: left unknown"
NO_MEASURE = "household measure without an amount, words or weight"


@dataclass(frozen=True)
class Tables:
    """What USDA's nutrient numbers and descriptions mean here."""

    columns: Columns
    rules: GroupRules


@dataclass
class Reading:
    """What a download holds of the selected foods. amounts and measures are by the food's key."""

    selection: Selection
    columns: Columns
    amounts: Amounts
    measures: dict[str, list[Household]] = field(default_factory=dict)

    @property
    def foods(self) -> dict[str, UsdaFood]:
        return self.selection.foods

    @property
    def kinds(self) -> dict[str, Kind]:
        return self.selection.kinds

    @property
    def left_out(self) -> LeftOut:
        return self.selection.left_out


def layout_of(archive: Archive, columns: Columns) -> FdcCsv | SrAscii | SrAbbreviated:
    """The reader for the files that are there. Raises BadFile when they are none of USDA's layouts."""
    if "food.csv" in archive or "food_nutrient.csv" in archive:
        return FdcCsv(archive, columns)
    if "nut_data.txt" not in archive and "abbrev.txt" in archive:
        return SrAbbreviated(archive, columns)
    if "food_des.txt" in archive or "nut_data.txt" in archive:
        return SrAscii(archive, columns)
    raise BadFile(archive.name, None, "neither food.csv nor FOOD_DES.txt is in it: no download of USDA's")


def read(archive: Archive, tables: Tables, only: Collection[str] = ()) -> Reading:
    """Everything that is wanted of a download; `only` names the groups, all of them when empty.

    Raises BadFile for the first line that is not right. No more is held in memory than the wanted foods need.
    """
    layout = layout_of(archive, tables.columns)
    selection = select(layout.foods_file, layout.foods(), tables.rules, only)
    reading = Reading(selection, tables.columns, Amounts(selection.foods, tables.columns))
    for line, food, column, text in layout.values(selection.foods, selection.others):
        if text:
            _keep_amount(reading, layout.values_file, line, food, column, text)
    for line, food, amount, label, grams in layout.measures(selection.foods, selection.others):
        _keep_measure(reading, layout.measures_file, line, food, amount, label, grams)
    return reading


def _keep_amount(reading: Reading, file: str, line: int, food: str, column: Column | None, text: str) -> None:
    """Check an amount, and keep it when it is of a nutrient that has a place here."""
    amount = number(file, line, text)
    if column is None:
        return
    if amount < 0 and column.number == BY_DIFFERENCE:
        reading.left_out.add(BELOW_ZERO, reading.foods[food].description)
        return
    if amount < 0 or (column.unit == "g" and amount > MOST_G_PER_100G):
        raise BadFile(file, line, f"{text} {column.unit} {column.name} in 100 g cannot be")
    try:
        reading.amounts.put(food, column, amount * column.factor)
    except ValueError as problem:
        raise BadFile(file, line, problem) from None


def _keep_measure(
    reading: Reading, file: str, line: int, food: str, amount: str, label: str, grams: str
) -> None:
    """Keep a measure that says all three; of two for the same words the first."""
    numbers = [number(file, line, text) for text in (amount, grams) if text]
    if len(numbers) < 2 or min(numbers) < LEAST_MEASURE or not label:
        reading.left_out.add(NO_MEASURE, reading.foods[food].description)
        return
    measures = reading.measures.setdefault(food, [])
    if all((numbers[0], label) != known[:2] for known in measures):
        measures.append(Household(numbers[0], label, numbers[1]))


def number(file: str, line: int, text: str) -> float:
    """A finite number as USDA writes it. Raises BadFile for anything else."""
    try:
        read_number = float(text)
    except ValueError:
        read_number = math.nan
    if not math.isfinite(read_number) or "_" in text:
        raise BadFile(file, line, f"{text!r} is not a number")
    return read_number
