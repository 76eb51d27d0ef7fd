"""What a plan rests on, and the batch that comes of it. Pure."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import pandas as pd

from nutrients.adequacy import ProfileLimits
from patients.meals import meal_weights
from patients.timing import PIECES, Dose, as_given
from recipes.analysis import COOLED_BATCH, IN_THE_BOWL, Analysis, Portion, analyse
from recipes.scaling import ScaledBatch, ScaledLine

NO_SCALE = "none"  # of a plan: the owner measures in cups and spoons


@dataclass(frozen=True)
class Grounds:
    """What the numbers rest on: the recipe's version and the reference data, as they stand now.

    added_water_g and cooked_weight_g [g] belong to the recipe as written; cooked_weight_g is None when the
    cooked batch was never weighed. watch_levels: (nutrient key, amount per 1000 kcal, what to say above it).
    estimates: (food name, nutrient key) of the values in the table that are estimates. discontinued: what to
    say of foods that are no longer bought. unsafe: why it must not be fed as it is cooked.
    beside: the other food of the day, of any weight.
    """

    portions: tuple[Portion, ...]
    method: str
    table: pd.DataFrame
    retention: pd.DataFrame
    profile: ProfileLimits
    allowances: ProfileLimits
    negligible: frozenset[tuple[str, str]]
    yields: Mapping[tuple[str, str], float]
    added_water_g: float = 0
    cooked_weight_g: float | None = None
    watch_levels: tuple[tuple[str, float, str], ...] = ()
    steps: tuple[str, ...] = ()
    estimates: frozenset[tuple[str, str]] = frozenset()
    discontinued: tuple[str, ...] = ()
    unsafe: tuple[str, ...] = ()
    beside: Portion | None = None

    def analysed(self, portions, water_g: float, cooked_g: float | None) -> Analysis:
        return analyse(
            portions, self.table, self.retention, self.method, self.profile, self.negligible, self.yields,
            added_water_g=water_g, cooked_weight_g=cooked_g, estimates=self.estimates,
        )  # fmt: skip

    def foods(self) -> dict[str, str]:
        """Name -> group of everything in the recipe."""
        return {portion.food: portion.group for portion in self.portions}


@dataclass(frozen=True)
class Batch:
    """One batch as it is weighed, dosed and eaten.

    analysis: of the rounded amounts. for_dog: the same judged at this dog's own intake, None while the
    profile is one of growth. kcal_per_day: what the rounded batch brings a day. meal_g: cooked food per meal
    [g]; bowl: foods that go into the bowl, with their grams per meal; pots: (pot [g], meal [g]).
    moved: nutrients that rounding moves far, with the percent of their amount per 1000 kcal.
    """

    scaled: ScaledBatch
    doses: tuple[Dose, ...]
    water_g: float
    analysis: Analysis
    for_dog: pd.DataFrame | None
    kcal_per_day: float
    meal_g: float
    bowl: tuple[tuple[ScaledLine, float], ...]
    pots: tuple[tuple[float, float], ...]
    fresh_days: int
    frozen_days: int
    moved: tuple[tuple[str, float], ...] = ()

    @property
    def foods(self) -> list[ScaledLine]:
        return [line for line in self.scaled.lines if not line.portion.is_supplement]

    def meals(self, split: Sequence[int]) -> list[tuple[int, float]]:
        """(percent, grams) of each meal of a day; none when all are alike. split: of the plan."""
        return meal_weights(self.analysis.cooked_g / self.scaled.days, split)

    def given(self) -> list[Portion]:
        """Everything the batch holds, with rounded grams and the moment each goes in."""
        return self.scaled.foods() + as_given(self.scaled.supplements(), self.doses)

    @property
    def in_pot_g(self) -> float:
        """Raw food and water that go into the pot [g]."""
        return sum(line.grams for line in self.foods if not in_the_bowl(line.portion)) + self.water_g

    def pieces_per_day(self) -> dict[str, float]:
        """Tablets and capsules of the cooled batch, not rounded, a day."""
        return {
            dose.food: dose.batch_amount / dose.grams_per_batch * dose.exact_g / self.scaled.days
            for dose in self.doses
            if dose.dose_unit in PIECES and dose.when == COOLED_BATCH
        }

    @property
    def strictest(self) -> pd.DataFrame:
        """The judgement with the highest minima: for this dog, else the profile's."""
        return self.analysis.judgement if self.for_dog is None else self.for_dog


def in_the_bowl(portion: Portion) -> bool:
    """Is this a food that never sees the pot?"""
    return portion.when == IN_THE_BOWL and not portion.is_supplement
