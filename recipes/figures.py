"""The figures that are kept with each version, for the library to search by. Pure.

Many versions at once, as `nutrients.batches` counts them; equal to what `analyse` says of each alone.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np
import pandas as pd

from nutrients.adequacy import ENERGY_PARTS, ProfileLimits
from nutrients.batches import Batches, counts, totals
from nutrients.energy_density import ATWATER
from recipes.analysis import IN_THE_BOWL, Portion, brought, cooked_weight

# Kept per 1000 kcal, in each nutrient's own unit.
PER_1000_KCAL = ("protein", "fat", "nfe", "fiber", "calcium", "phosphorus", "sodium", "copper")


@dataclass(frozen=True)
class Batch:
    """A version as it is cooked. cooked_weight_g: None when it was never weighed."""

    portions: Sequence[Portion]
    method: str
    added_water_g: float = 0
    cooked_weight_g: float | None = None


@dataclass(frozen=True)
class Figures:
    """A figure that is not wholly known is None.

    kcal_per_100g: of the cooked food, by 4/9/4; cooked_is_estimate: its weight was not weighed.
    energy_percent: shares of protein, fat and NFE. per_1000_kcal: by nutrient, in its unit. answers: by
    profile key how many limits have each answer.
    """

    kcal_per_100g: float | None
    cooked_is_estimate: bool
    energy_percent: tuple[float, float, float] | None
    per_1000_kcal: Mapping[str, float | None]
    answers: Mapping[str, Mapping[str, int]]


def figures_of(
    batches: Sequence[Batch],
    table: pd.DataFrame,
    retention: pd.DataFrame,
    negligible: frozenset[tuple[str, str]],
    yields: Mapping[tuple[str, str], float],
    profiles: Sequence[ProfileLimits],
) -> list[Figures | None]:
    """In the order of the batches; None for one that holds no energy. Table and factors as in `analyse`."""
    found: list[Figures | None] = [None] * len(batches)
    places = sorted((place for place, batch in enumerate(batches) if batch.portions), key=_method_of(batches))
    for method, alike in groupby(places, key=_method_of(batches)):
        alike = list(alike)
        lines = [portion for place in alike for portion in batches[place].portions]
        made = totals(
            brought(lines, table, retention, method),
            list(table.columns),
            [portion.group for portion in lines],
            [len(batches[place].portions) for place in alike],
            negligible,
        )
        fed = np.flatnonzero(made.kcal > 0)
        kept = [alike[row] for row in fed]
        for place, each in zip(
            kept, _each(made.only(fed), [batches[p] for p in kept], yields, profiles), strict=True
        ):
            found[place] = each
    return found


def _method_of(batches: Sequence[Batch]):
    return lambda place: batches[place].method


def _each(
    made: Batches,
    batches: Sequence[Batch],
    yields: Mapping[tuple[str, str], float],
    profiles: Sequence[ProfileLimits],
) -> Iterator[Figures]:
    answers = {profile.key: counts(made, profile) for profile in profiles}
    known = {key: made.per_1000_kcal(key) for key in PER_1000_KCAL}
    shares = np.array(
        [
            100 * np.nan_to_num(made.amounts[key]) * factor / made.kcal
            for key, factor in zip(ENERGY_PARTS, ATWATER, strict=True)
        ]
    )
    for row, batch in enumerate(batches):
        fed_g, is_estimate = _fed(batch, yields)
        whole = not made.energy_unknown[row]
        yield Figures(
            kcal_per_100g=100 * float(made.kcal[row]) / fed_g if whole else None,
            cooked_is_estimate=is_estimate,
            energy_percent=tuple(shares[:, row].tolist()) if whole else None,
            per_1000_kcal={key: _or_none(amounts[row]) for key, amounts in known.items()},
            answers={
                profile: {answer: int(number[row]) for answer, number in counted.items()}
                for profile, counted in answers.items()
            },
        )


def _fed(batch: Batch, yields: Mapping[tuple[str, str], float]) -> tuple[float, bool]:
    """What the dog eats of the batch [g], and whether that is an estimate."""
    cooked_g, is_estimate = cooked_weight(
        batch.portions, batch.method, yields, batch.added_water_g, batch.cooked_weight_g
    )
    return cooked_g + sum(x.grams for x in batch.portions if x.when == IN_THE_BOWL), is_estimate


def _or_none(amount: float) -> float | None:
    return None if math.isnan(amount) else float(amount)
