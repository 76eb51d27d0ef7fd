"""A food's page as rows that a template only has to write down. Pure."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

import pandas as pd

from nutrients.composition import Composition
from nutrients.energy_density import me_atwater

WORKED_OUT = "worked out"


@dataclass(frozen=True)
class ListedFood:
    """One line of the list of foods; amounts per 100 g, None where unknown."""

    food: object
    kcal: float | None
    protein_g: float | None
    fat_g: float | None
    known: int
    nutrients: int


@dataclass(frozen=True)
class ValueRow:
    """A nutrient in 100 g of a food. amount: None when there is no value; kind and source say where from."""

    name: str
    unit: str
    decimals: int
    amount: float | None
    kind: str
    source: str
    note: str


@dataclass(frozen=True)
class RetentionRow:
    """What is left of a nutrient after cooking [percent], a cell per method, None where none is published."""

    name: str
    cells: tuple[float | None, ...]


def kcal_per_100g(values: Mapping[str, float]) -> float | None:
    """Energy by 4/9/4 [kcal per 100 g]; None while protein, fat or NFE is unknown."""
    parts = [float(values.get(key, math.nan)) for key in ("protein", "fat", "nfe")]
    return None if any(map(math.isnan, parts)) else me_atwater(*parts)


def listed(foods: Iterable, table: pd.DataFrame) -> list[ListedFood]:
    """The foods with what a list shows of their row in the food table."""
    rows = []
    for food in foods:
        values = table.loc[food.name]
        protein, fat = (None if math.isnan(values[key]) else values[key] for key in ("protein", "fat"))
        stored = values.drop("nfe")
        rows.append(
            ListedFood(food, kcal_per_100g(values), protein, fat, int(stored.notna().sum()), len(stored))
        )
    return rows


def sentence(food, published_kcal: float | None, kcal: float | None) -> str:
    """What the page says first, such as "Beef liver, raw: 135 kcal in 100 g published, ...; organ, raw."."""
    supplement = getattr(food, "supplement", None)
    if supplement is not None:
        unit, grams = supplement.dose_unit, supplement.grams_per_dose_unit
        dose = "weighed in g" if unit == "g" else f"1 {unit} weighs {grams:g} g"
        return f"{food.name}: {dose}, {supplement.get_heat_display()}; {food.group}."
    said = [] if published_kcal is None else [f"{published_kcal:.0f} kcal in 100 g published"]
    said += ["energy by 4/9/4 not known"] if kcal is None else [f"{kcal:.0f} kcal by 4/9/4"]
    return f"{food.name}: {', '.join(said)}; {food.group}, {food.state}."


def value_groups(
    nutrients: Sequence, values: Mapping[str, object], made_of: Composition, nothing_said: str
) -> list[tuple[str, list[ValueRow]]]:
    """Every nutrient under its group's name.

    nutrients: in order. values: key -> the food's stored value. made_of: the composition of 100 g, for what
    is worked out. nothing_said: the words for a nutrient without a value.
    """
    rows = [(each.group, _value_row(each, values.get(each.key), made_of, nothing_said)) for each in nutrients]
    return [(group, [row for _, row in lines]) for group, lines in groupby(rows, key=lambda pair: pair[0])]


def _value_row(nutrient, value, made_of: Composition, nothing_said: str) -> ValueRow:
    particulars = nutrient.name, nutrient.unit, nutrient.decimals
    if value is not None:
        kind, source = value.kind, value.source
        return ValueRow(*particulars, value.per_100g, kind, source, nutrient.note)
    amount = made_of.totals.get(nutrient.key, math.nan) if nutrient.derived else math.nan
    if math.isnan(amount):
        return ValueRow(*particulars, None, "", nothing_said, nutrient.note)
    in_part = bool(made_of.completeness.at[nutrient.key, "missing"])
    source = "from the part that is known; another part has no value" if in_part else "from its parts"
    return ValueRow(*particulars, float(amount), WORKED_OUT, source, nutrient.note)


def retention_rows(factors: pd.DataFrame, nutrients: Iterable) -> list[RetentionRow]:
    """factors: fractions (0..1), a row per method, a column per nutrient key. Those without any drop out."""
    rows = []
    for nutrient in nutrients:
        if nutrient.key in factors and factors[nutrient.key].notna().any():
            cells = (None if math.isnan(share) else share * 100 for share in factors[nutrient.key])
            rows.append(RetentionRow(nutrient.name, tuple(cells)))
    return rows
