"""A food's page as rows that a template only has to write down. Pure."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

import pandas as pd

from nutrients.composition import Composition
from nutrients.food_amounts import KCAL, PER_100G, Measured, or_none, parts, with_energy

WORKED_OUT, ESTIMATE = "worked out", "estimate"
BY_FACTORS = "4 x protein + 9 x fat + 4 x nitrogen-free extract"


@dataclass(frozen=True)
class ListedFood:
    """One line of the list of foods; amounts per 100 g, None where unknown.

    ranked: the amount that the list is sorted by; None while it is sorted by name.
    """

    food: object
    kcal: float | None
    protein_g: float | None
    fat_g: float | None
    known: int
    nutrients: int
    ranked: Measured | None = None


@dataclass(frozen=True)
class ValueRow:
    """A nutrient in 100 g of a food. amount: None when there is no value; kind and source say where from.

    low, high: the range of an estimate, the bounds of a guaranteed analysis. change: the newest entry in the
    value's history, None when the practice never changed it.
    """

    name: str
    unit: str
    decimals: int
    note: str
    amount: float | None
    kind: str
    source: str
    low: float | None = None
    high: float | None = None
    change: object = None


@dataclass(frozen=True)
class RetentionRow:
    """What is left of a nutrient after cooking [percent], a cell per method, None where none is published."""

    name: str
    cells: tuple[float | None, ...]


def listed(
    foods: Iterable, table: pd.DataFrame, ranked: Mapping[str, Measured] | None = None
) -> list[ListedFood]:
    """The foods with what a list shows of their row in the food table; ranked: by the food's name."""
    stored = table.drop(columns="nfe")
    known = stored.notna().sum(axis=1)
    shown = with_energy(table)[[KCAL, "protein", "fat"]]
    amounts = {name: map(or_none, row) for name, *row in shown.itertuples(name=None)}
    return [
        ListedFood(
            food, *amounts[food.name], int(known[food.name]), stored.shape[1], (ranked or {}).get(food.name)
        )
        for food in foods
    ]


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


def kcal_per_100g(table: pd.DataFrame) -> float | None:
    """Energy by 4/9/4 of the first food of a table; None while protein, fat or NFE is unknown."""
    return or_none(with_energy(table)[KCAL].iloc[0])


def value_groups(
    nutrients: Sequence,
    values: Mapping[str, object],
    made_of: Composition,
    kcal: float | None,
    changes: Mapping[int, object],
    nothing_said: str,
) -> list[tuple[str, list[ValueRow]]]:
    """Every nutrient under its group's name.

    nutrients: in order, energy by 4/9/4 among them. values: key -> the food's stored value. made_of: the
    composition of 100 g, for what is worked out. changes: the newest by the nutrient's primary key.
    nothing_said: the words for a nutrient without a value.
    """

    def row(nutrient) -> ValueRow:
        particulars = nutrient.name, nutrient.unit, nutrient.decimals, nutrient.note
        change = changes.get(nutrient.pk)
        if value := values.get(nutrient.key):
            return ValueRow(
                *particulars, value.per_100g, value.kind, value.source, value.low, value.high, change
            )
        worked_out = (kcal, BY_FACTORS) if nutrient.key == KCAL else _derived(nutrient, made_of)
        amount, source = worked_out
        if amount is None:
            return ValueRow(*particulars, None, "", nothing_said, change=change)
        if any(values[part].kind == ESTIMATE for part in parts(nutrient.key, PER_100G) if part in values):
            source += "; a part is an estimate"
        return ValueRow(*particulars, amount, WORKED_OUT, source)

    rows = [(each.group, row(each)) for each in nutrients]
    return [(group, [line for _, line in lines]) for group, lines in groupby(rows, key=lambda pair: pair[0])]


def _derived(nutrient, made_of: Composition) -> tuple[float | None, str]:
    """A derived amount and what it is made from; None for one that is stored or has nothing known."""
    amount = or_none(made_of.totals.get(nutrient.key, math.nan)) if nutrient.derived else None
    if amount is None:
        return None, ""
    in_part = bool(made_of.completeness.at[nutrient.key, "missing"])
    return amount, "from the part that is known; another part has no value" if in_part else "from its parts"


def retention_rows(factors: pd.DataFrame, nutrients: Iterable) -> list[RetentionRow]:
    """factors: fractions (0..1), a row per method, a column per nutrient key. Those without any drop out."""
    rows = []
    for nutrient in nutrients:
        if nutrient.key in factors and factors[nutrient.key].notna().any():
            cells = (None if math.isnan(share) else share * 100 for share in factors[nutrient.key])
            rows.append(RetentionRow(nutrient.name, tuple(cells)))
    return rows
