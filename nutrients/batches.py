"""Many batches at once: their totals and how many limits each meets, as arrays. Pure.

The same rules as `nutrients.composition.total` and `nutrients.adequacy.judge`, which tell one batch with the
names of its foods; here whole libraries are counted, some hundred times as quickly. Tests hold both equal.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from nutrients.adequacy import ENERGY_PARTS, NOISE, PER_1000_KCAL, ProfileLimits, protein_for_arginine
from nutrients.composition import PARTS, RATIOS, STORED_PARTS, SUMS
from nutrients.energy_density import ATWATER

# Answers in the order of their weight: of minimum and maximum the greater one counts.
NOTHING, MEETS, CANNOT_CONFIRM, BELOW, ABOVE = range(5)
COUNTED = {"meets": MEETS, "below": BELOW, "above": ABOVE, "cannot_confirm": CANNOT_CONFIRM}


@dataclass(frozen=True)
class Batches:
    """By nutrient, an entry per batch.

    amounts: what is known, for a ratio the ratio; NaN where nothing is known or a ratio is not formed.
    unknown: whether a food has no value; matters: whether one that can carry the nutrient has none.
    kcal: by 4/9/4 from what is known.
    """

    amounts: Mapping[str, np.ndarray]
    unknown: Mapping[str, np.ndarray]
    matters: Mapping[str, np.ndarray]
    kcal: np.ndarray

    @property
    def energy_unknown(self) -> np.ndarray:
        """Whether a food that can carry energy lacks a part of it: then amounts per 1000 kcal flatter."""
        return np.any([self.matters[part] for part in ENERGY_PARTS], axis=0)

    def only(self, places: np.ndarray) -> "Batches":
        """Some of the batches, by their places."""
        amounts, unknown, matters = (
            {key: each[places] for key, each in by_nutrient.items()}
            for by_nutrient in (self.amounts, self.unknown, self.matters)
        )
        return Batches(amounts, unknown, matters, self.kcal[places])

    def per_1000_kcal(self, key: str) -> np.ndarray:
        """Amounts in the nutrient's unit; NaN unless both the nutrient and the energy are wholly known."""
        known = ~(self.matters[key] | self.energy_unknown)
        return np.where(known, self.amounts[key] * 1000 / self.kcal, math.nan)


def totals(
    contributions: np.ndarray,
    nutrients: Sequence[str],
    groups: Sequence[str],
    sizes: Sequence[int],
    negligible: frozenset[tuple[str, str]],
) -> Batches:
    """Sums the lines of every batch.

    contributions: a row per line and a column per nutrient [its unit], NaN unknown, the batches one after
    the other; groups: the food group of every line; sizes: lines of every batch, none of them 0. negligible:
    pairs of nutrient and food group that cannot carry it in an amount that matters. A batch with an
    impossible amount (negative, infinite) has no energy.
    """
    absent = [part for part in (*STORED_PARTS, *ENERGY_PARTS) if part not in nutrients]
    columns = [*nutrients, *dict.fromkeys(absent)]
    table = np.full((len(contributions), len(columns)), math.nan)
    table[:, : len(nutrients)] = contributions
    begins = np.cumsum([0, *sizes[:-1]])
    unknown = np.isnan(table)
    kinds = {group: [(key, group) not in negligible for key in columns] for group in set(groups)}
    matters = unknown & np.array([kinds[group] for group in groups], dtype=bool).reshape(table.shape)
    nothing = np.logical_and.reduceat(unknown, begins)
    summed = np.where(nothing, math.nan, np.add.reduceat(np.where(unknown, 0.0, table), begins))
    amounts = dict(zip(columns, summed.T, strict=True))
    marks = [_with_derived(columns, np.logical_or.reduceat(each, begins)) for each in (unknown, matters)]
    _add_derived(amounts, marks[1])
    parts = [np.nan_to_num(amounts[key]) * factor for key, factor in zip(ENERGY_PARTS, ATWATER, strict=True)]
    wrong = np.logical_or.reduceat((table < 0) | np.isinf(table), begins).any(axis=1)
    return Batches(amounts, *marks, kcal=np.where(wrong, 0.0, sum(parts)))


def _with_derived(columns: Sequence[str], marks: np.ndarray) -> dict[str, np.ndarray]:
    stored = dict(zip(columns, marks.T, strict=True))
    return stored | {key: np.any([stored[part] for part in parts], axis=0) for key, parts in PARTS.items()}


def _add_derived(amounts: dict[str, np.ndarray], matters: Mapping[str, np.ndarray]) -> None:
    """A sum counts what is known of its parts; a ratio is formed unless a part is missing that matters."""
    for key, weights in SUMS.items():
        amounts[key] = _weighted(amounts, weights)
    for key, (above, below) in RATIOS.items():
        divisor = _weighted(amounts, below)
        formed = ~matters[key] & (divisor > 0)
        amounts[key] = _weighted(amounts, above) / np.where(formed, divisor, math.nan)


def _weighted(amounts: Mapping[str, np.ndarray], weights: Mapping[str, float]) -> np.ndarray:
    parts = np.array([amounts[key] * weight for key, weight in weights.items()])
    return np.where(np.isnan(parts).all(axis=0), math.nan, np.nansum(parts, axis=0))


def counts(batches: Batches, profile: ProfileLimits) -> dict[str, np.ndarray]:
    """How many limits of the profile have each answer in every batch; each limit counts once, by its worst.

    For batches with energy only. Raises ValueError unless the profile's limits are per 1000 kcal.
    """
    if profile.basis != PER_1000_KCAL:
        raise ValueError(f"{profile.name} is not given per 1000 kcal: no recipe can be judged against it.")
    if not (batches.kcal > 0).all():
        raise ValueError("A recipe is judged per 1000 kcal: its energy must be above 0 kcal.")
    worst = np.array([_worst(limit, batches, profile) for limit in profile.limits.itertuples()])
    worst = worst.reshape(len(profile.limits), len(batches.kcal))
    return {answer: (worst == code).sum(axis=0) for answer, code in COUNTED.items()}


def _worst(limit, batches: Batches, profile: ProfileLimits) -> np.ndarray:
    key, known = limit.Index, _known_of(batches)
    amount, matters = ceiling, ceiling_matters = known(key, limit.factor)
    minimum = np.full(len(amount), limit.minimum)
    if key == "arginine" and profile.arginine_per_g_protein > 0:
        above = known("protein", 1)[0] - protein_for_arginine(profile)
        minimum += profile.arginine_per_g_protein * limit.factor * np.where(above > 0, above, 0.0)
    if key == "vitamin_a":
        ceiling, ceiling_matters = known("retinol", limit.factor * SUMS["vitamin_a"]["retinol"])
    lower = _minimum_answers(key, amount, matters, minimum)
    if key not in RATIOS:
        lower[(lower == MEETS) & batches.energy_unknown] = CANNOT_CONFIRM
    return np.maximum(lower, _maximum_answers(key, ceiling, ceiling_matters, limit.maximum))


def _known_of(batches: Batches) -> Callable[[str, float], tuple[np.ndarray, np.ndarray]]:
    """Asked with a nutrient and the factor to the limit's unit: known amounts per 1000 kcal, and doubts."""

    def known(key: str, factor: float) -> tuple[np.ndarray, np.ndarray]:
        if key not in batches.amounts:
            return np.full(len(batches.kcal), math.nan), np.ones(len(batches.kcal), dtype=bool)
        scale = factor if key in RATIOS else factor * 1000 / batches.kcal
        return batches.amounts[key] * scale, batches.matters[key]

    return known


def _minimum_answers(key: str, amount, matters, minimum) -> np.ndarray:
    needs_every_part = key in PARTS and key != "vitamin_a"
    doubtful = np.isnan(amount) | (matters if needs_every_part else False)
    reached = amount >= minimum * (1 - NOISE)
    answers = np.select([doubtful, reached, matters], [CANNOT_CONFIRM, MEETS, CANNOT_CONFIRM], BELOW)
    return np.where(np.isnan(minimum), NOTHING, answers)


def _maximum_answers(key: str, amount, matters, maximum: float) -> np.ndarray:
    if math.isnan(maximum):
        return np.full(len(amount), NOTHING)
    doubtful = matters | (np.isnan(amount) if key in RATIOS else False)
    return np.select([amount > maximum * (1 + NOISE), doubtful], [ABOVE, CANNOT_CONFIRM], MEETS)
