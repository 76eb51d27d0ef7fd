"""What foods hold of a nutrient per 100 g, per 1000 kcal and per gram of protein. Pure.

Tables have a row per food and a column per stored nutrient, per 100 g; NaN = unknown. An amount of which any
part is unknown is unknown.
"""

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import pandas as pd

from nutrients.composition import RATIOS, SUMS, with_derived_foods
from nutrients.energy_density import ATWATER

PER_100G, PER_1000KCAL, PER_G_PROTEIN = "100g", "1000kcal", "protein"
PER = {PER_100G: "per 100 g", PER_1000KCAL: "per 1000 kcal", PER_G_PROTEIN: "per g protein"}
KCAL = "kcal"  # energy by 4/9/4, beside the nutrients' keys
KCAL_PER_G = dict(zip(("protein", "fat", "nfe"), ATWATER, strict=True))
NFE_PARTS = ("water", "protein", "fat", "ash", "fiber")
UNKNOWN, NO_ENERGY, NO_PROTEIN, NOT_FORMED = "unknown", "no energy", "no protein", "not formed"


class Amounts(NamedTuple):
    """value: NaN where there is none; why: then says so in words, "" elsewhere. Both a row per food."""

    value: pd.Series
    why: pd.Series


@dataclass(frozen=True)
class Measured:
    """An amount of one food, or None and why; estimated: whether it rests on an estimate."""

    amount: float | None
    why: str
    estimated: bool


def parts(nutrient: str, per: str) -> list[str]:
    """The stored nutrients that must be known for an amount."""
    above, below = _fraction(nutrient)
    needed = [*above, *below, *({PER_1000KCAL: [KCAL], PER_G_PROTEIN: ["protein"]}.get(per, []))]
    return list(
        dict.fromkeys(key for part in needed for key in (NFE_PARTS if part in (KCAL, "nfe") else (part,)))
    )


def amounts(table: pd.DataFrame, nutrient: str, per: str) -> Amounts:
    """A stored or derived nutrient, or energy by 4/9/4, of every food. A ratio is the same on every basis.

    Per 1000 kcal by 4/9/4; a food without energy has no amount on that basis, nor one without protein per
    gram of protein.
    """
    above, below = _fraction(nutrient)
    table = with_energy(table)
    if nutrient in RATIOS:
        return _divided(_weighted(table, above), _weighted(table, below), NOT_FORMED)
    amount = _weighted(table, above)
    if per == PER_1000KCAL:
        return _divided(amount, table[KCAL] / 1000, NO_ENERGY)
    if per == PER_G_PROTEIN:
        return _divided(amount, table["protein"], NO_PROTEIN)
    return _divided(amount, pd.Series(1.0, index=table.index), "")


def measured(
    table: pd.DataFrame, nutrient: str, per: str, guessed: Collection[tuple[str, str]]
) -> dict[str, Measured]:
    """The amount of every food in a table, by its name. guessed: (food, nutrient) of every estimate."""
    found, needed = amounts(table, nutrient, per), parts(nutrient, per)
    return {
        food: Measured(or_none(value), why, any((food, part) in guessed for part in needed))
        for food, value, why in zip(table.index, found.value, found.why, strict=True)
    }


def or_none(amount: float) -> float | None:
    return None if math.isnan(amount) else float(amount)


def with_energy(table: pd.DataFrame) -> pd.DataFrame:
    """The table with `nfe` and `kcal`, energy by 4/9/4 [kcal per 100 g]; the columns it needs are added."""
    table = table.reindex(columns=table.columns.union(NFE_PARTS, sort=False))
    table = with_derived_foods(table)
    return table.assign(
        **{KCAL: _weighted(table, dict(zip(("protein", "fat", "nfe"), ATWATER, strict=True)))}
    )


def ranked(values: pd.Series, descending: bool) -> pd.Series:
    """Sorted, unknown values last either way; equal ones keep their order."""
    return values.sort_values(ascending=not descending, kind="stable", na_position="last")


def _fraction(nutrient: str) -> tuple[Mapping[str, float], Mapping[str, float]]:
    """What is added up for a nutrient, and what a ratio is divided by."""
    return RATIOS.get(nutrient, (SUMS.get(nutrient, {nutrient: 1.0}), {}))


def _weighted(table: pd.DataFrame, weights: Mapping[str, float]) -> pd.Series:
    """The weighted sum of some columns, unknown where any of them is."""
    return sum(table[key] * weight for key, weight in weights.items())


def _divided(amount: pd.Series, divisor: pd.Series, nothing: str) -> Amounts:
    """nothing: the words for a divisor of zero."""
    known = amount.notna() & divisor.notna()
    value = amount / divisor.where(divisor > 0)
    why = np.select([~known, divisor <= 0], [UNKNOWN, nothing], "")
    return Amounts(value, pd.Series(why, index=amount.index))
