"""Foods side by side, row by row of their nutrients. Pure.

Each amount stands against that of the first food, in words, and as a bar against the largest of its row.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from itertools import groupby

import pandas as pd

from nutrients.composition import RATIOS
from nutrients.food_amounts import Measured, measured

MOST = 4
BAR = 100.0  # length of the longest bar
ABOUT_THE_SAME = 0.05  # share of the first food's amount; common practice, no source
SMALLEST_SAID = 0.01  # of the first food's amount


@dataclass(frozen=True)
class Cell:
    """times: how it stands against the first food, in words, "" where that cannot be said."""

    measured: Measured
    bar: float
    times: str


@dataclass(frozen=True)
class ComparedRow:
    name: str
    unit: str
    decimals: int
    cells: tuple[Cell, ...]


def compared(
    nutrients: Iterable, table: pd.DataFrame, per: str, guessed: Collection[tuple[str, str]]
) -> list[tuple[str, list[ComparedRow]]]:
    """Every nutrient under its group's name.

    nutrients: in order; energy by 4/9/4 may be among them. table: a row per food, per 100 g, NaN unknown.
    guessed: (food, nutrient) of every estimate.
    """
    rows = [(each.group, _row(each, table, per, guessed)) for each in nutrients]
    return [(group, [row for _, row in lines]) for group, lines in groupby(rows, key=lambda pair: pair[0])]


def unknown_in(groups: list[tuple[str, list[ComparedRow]]], foods: Iterable[str]) -> dict[str, list[str]]:
    """The nutrients without an amount, by food."""
    rows = [row for _, lines in groups for row in lines]
    return {
        food: [row.name for row in rows if row.cells[place].measured.amount is None]
        for place, food in enumerate(foods)
    }


def _row(nutrient, table: pd.DataFrame, per: str, guessed) -> ComparedRow:
    found = list(measured(table, nutrient.key, per, guessed).values())
    known = [each.amount for each in found if each.amount is not None]
    longest = max(known, default=0)
    cells = tuple(
        Cell(each, BAR * each.amount / longest if each.amount and longest else 0.0, times(each, found[0]))
        for each in found
    )
    unit = "" if nutrient.key in RATIOS else nutrient.unit
    return ComparedRow(nutrient.name, unit, nutrient.decimals, cells)


def times(one: Measured, first: Measured) -> str:
    """How much one is of the first: `2.4 x`, `about the same`; "" for the first itself and unknown ones."""
    if one is first or one.amount is None or first.amount is None:
        return ""
    if first.amount == 0:
        return "none in the first" if one.amount else "none in both"
    ratio = one.amount / first.amount
    if abs(ratio - 1) <= ABOUT_THE_SAME:
        return "about the same"
    if ratio < SMALLEST_SAID:
        return "none" if ratio == 0 else f"less than {SMALLEST_SAID:g} x"
    return f"{ratio:,.0f} x" if ratio >= 10 else f"{ratio:.2g} x"
