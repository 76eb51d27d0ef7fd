"""What a batch contains: the one place where nutrients are summed.

A food without a value for a nutrient holds NaN there. It is left out of the sum and named beside it.
"""

import math
from collections.abc import Collection, Iterable, Sequence
from typing import NamedTuple

import numpy as np
import pandas as pd

from nutrients.units import IU_PER_MG_BETA_CAROTENE, IU_PER_MG_VITAMIN_E, UG_RETINOL_PER_IU

# Derived amounts: how much of the derived unit one unit of each part counts.
SUMS = {
    "methionine_cystine": {"methionine": 1.0, "cystine": 1.0},
    "phenylalanine_tyrosine": {"phenylalanine": 1.0, "tyrosine": 1.0},
    "epa_dha": {"epa": 1.0, "dha": 1.0},
    "vitamin_a": {"retinol": 1 / UG_RETINOL_PER_IU, "beta_carotene": IU_PER_MG_BETA_CAROTENE / 1000},
}
# Derived ratios: what stands above the line and what below.
RATIOS = {
    "ca_p_ratio": ({"calcium": 1.0}, {"phosphorus": 1.0}),
    "n6_n3_ratio": (
        {"linoleic_acid": 1.0, "arachidonic_acid": 1.0},
        {"alpha_linolenic_acid": 1.0, "epa": 1.0, "dha": 1.0},
    ),
    "vitamin_e_per_pufa": ({"vitamin_e": IU_PER_MG_VITAMIN_E}, {"polyunsaturated_fat": 1.0}),
}
PARTS = {key: tuple(parts) for key, parts in SUMS.items()} | {
    key: tuple(above | below) for key, (above, below) in RATIOS.items()
}
STORED_PARTS = tuple(dict.fromkeys(part for parts in PARTS.values() for part in parts))


class Composition(NamedTuple):
    """`totals`: nutrient -> known amount, NaN when nothing is known or a ratio cannot be formed.
    `completeness`: nutrient -> share (0..1 of the weight), missing, missing_that_matter (food names).
    `contributions`: one row per ingredient, one column per nutrient, NaN = unknown.
    """

    totals: pd.Series
    completeness: pd.DataFrame
    contributions: pd.DataFrame


def with_derived_foods(table: pd.DataFrame) -> pd.DataFrame:
    """The food table with `nfe` (nitrogen-free extract, g per 100 g as fed).

    NFE = 100 - water - protein - fat - ash - fibre, not below 0; unknown when any part is unknown.
    """
    nfe = 100 - table["water"] - table["protein"] - table["fat"] - table["ash"] - table["fiber"]
    return table.assign(nfe=nfe.clip(lower=0))


def total(
    contributions: pd.DataFrame,
    groups: Sequence[str],
    grams: Sequence[float],
    negligible: frozenset[tuple[str, str]],
) -> Composition:
    """Sums what is known of every nutrient and names the foods that have no value.

    `groups` and `grams` (as fed) run along the rows of `contributions`; `negligible` holds the pairs of
    nutrient and food group that cannot carry it in an amount that matters. A nutrient of which nothing is
    known has the total NaN. Derived sums count what is known of their parts; a ratio is NaN while a part is
    missing in a food that can carry it. Raises ValueError for weights and amounts that are none.
    """
    weights = _checked_weights(contributions.index, grams)
    absent = [part for part in STORED_PARTS if part not in contributions]
    table = contributions.reindex(columns=[*contributions.columns, *absent]).astype(float)
    _check_amounts(table)
    unknown = table.isna().to_numpy()
    nutrients = list(table.columns)
    carriers = [[(nutrient, group) not in negligible for nutrient in nutrients] for group in groups]
    matters = unknown & np.array(carriers, dtype=bool).reshape(unknown.shape)
    completeness = _completeness(
        list(table.index),
        weights,
        _with_derived(nutrients, unknown),
        _with_derived(nutrients, matters),
    )
    totals = _with_derived_totals(table.sum(min_count=1), completeness["missing_that_matter"])
    return Composition(totals, completeness, contributions)


def resting_on(values: Collection[tuple[str, str]], foods: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """Nutrient -> those of the foods, in order, whose value is among `values`: (food name, nutrient key).

    A derived nutrient rests on its parts. A nutrient of which no value is among them is left out.
    """
    marked = [pair for food in dict.fromkeys(foods) for pair in values if pair[0] == food]
    keys = dict.fromkeys(key for _, key in marked)
    parts = {key: (key,) for key in keys} | PARTS
    resting = {
        key: tuple(dict.fromkeys(food for food, part in marked if part in of)) for key, of in parts.items()
    }
    return {key: names for key, names in resting.items() if names}


def _checked_weights(names: Iterable[str], grams: Sequence[float]) -> np.ndarray:
    weights = np.array(list(grams), dtype=float)
    for name, weight in zip(names, weights, strict=True):
        if not np.isfinite(weight) or weight <= 0:
            raise ValueError(f"{name} needs a weight above 0 g, not {weight:g}.")
    return weights


def _check_amounts(table: pd.DataFrame) -> None:
    wrong = (table < 0) | np.isinf(table)
    if wrong.any(axis=None):
        row, column = np.argwhere(wrong.to_numpy())[0]
        raise ValueError(
            f"{table.index[row]} has an impossible amount of {table.columns[column]}: "
            f"{table.iat[row, column]:g}."
        )


def _with_derived(columns: Iterable[str], marks: np.ndarray) -> dict[str, np.ndarray]:
    """Marks per ingredient for every nutrient; a derived one is marked where any of its parts is."""
    stored = dict(zip(columns, marks.T, strict=True))
    return stored | {key: np.any([stored[part] for part in parts], axis=0) for key, parts in PARTS.items()}


def _completeness(
    names: list[str], weights: np.ndarray, unknown: dict[str, np.ndarray], matters: dict[str, np.ndarray]
) -> pd.DataFrame:
    def foods(marks: np.ndarray) -> tuple[str, ...]:
        return tuple(dict.fromkeys(names[row] for row in np.flatnonzero(marks)))

    batch = weights.sum()
    return pd.DataFrame(
        {
            "share": [float(weights[~marks].sum() / batch) if batch else 0.0 for marks in unknown.values()],
            "missing": [foods(marks) for marks in unknown.values()],
            "missing_that_matter": [foods(marks) for marks in matters.values()],
        },
        index=list(unknown),
    )


def _with_derived_totals(known: pd.Series, matters: pd.Series) -> pd.Series:
    """Adds the derived amounts; a ratio only when no food that matters lacks a part of it."""
    totals = known.to_dict()
    for derived, weights in SUMS.items():
        totals[derived] = _weighted(totals, weights)
    for derived, (above, below) in RATIOS.items():
        divisor = _weighted(totals, below)
        formed = not matters[derived] and divisor > 0
        totals[derived] = _weighted(totals, above) / divisor if formed else math.nan
    return pd.Series(totals, dtype=float)


def _weighted(totals: dict[str, float], weights: dict[str, float]) -> float:
    """What is known of the parts, weighted; NaN when nothing is."""
    known = [totals[part] * weight for part, weight in weights.items() if not math.isnan(totals[part])]
    return sum(known) if known else math.nan
