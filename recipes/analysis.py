"""What a recipe holds after cooking, and how it stands against a profile. Pure calculation.

grams / 100 x amount per 100 g x retention factor, per ingredient and nutrient; summed by
`nutrients.composition.total` and judged by `nutrients.adequacy.judge`. A value not known stays unknown.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import pandas as pd

from nutrients.adequacy import ProfileLimits, judge
from nutrients.composition import PARTS, RATIOS, SUMS, Composition, resting_on, total
from nutrients.energy_density import Energy, energy_of

HEATED_MOMENTS = ("in_the_pot", "late")
COOLED_BATCH, IN_THE_BOWL = "cooled_batch", "in_the_bowl"
COOKED_STATES = ("cooked", "canned")  # met the heat before: only the re-heating factor is left for them
REHEATED, NOT_HEATED = "reheated", "not_heated"
LIQUID_KEPT = ("simmered_liquid_kept", "slow_cooked_liquid_kept")
POT = "pot"  # the row of the batch yields that stands for a whole pot with its liquid

# Fat that is drained off takes its fatty acids along; the retention table has factors for fat alone.
FATTY_ACIDS = (
    "saturated_fat",
    "monounsaturated_fat",
    "polyunsaturated_fat",
    "linoleic_acid",
    "alpha_linolenic_acid",
    "arachidonic_acid",
    "epa",
    "dpa",
    "dha",
)


@dataclass(frozen=True)
class Portion:
    """An ingredient as it goes into a batch: grams of the edible part, and what cooking and dosing need.

    when and state are the words of the recipe and food models; step_g: rounding step of a food [g];
    form, grams_per_dose_unit [g], smallest_step [dose units], heat ("stable", "sensitive") of a supplement;
    refuse_percent: None when not known; measures: (label, grams of one).
    """

    food: str
    grams: float
    when: str
    group: str
    retention_group: str
    state: str
    is_supplement: bool = False
    step_g: float = 5
    form: str = ""
    dose_unit: str = ""
    grams_per_dose_unit: float | None = None
    smallest_step: float | None = None
    heat: str = ""
    refuse_percent: float | None = None
    measures: tuple[tuple[str, float], ...] = ()
    note: str = ""

    @property
    def meets_heat(self) -> bool:
        return self.when in HEATED_MOMENTS and not self.is_supplement


@dataclass(frozen=True)
class Analysis:
    """One recipe against one profile.

    raw_g: everything as it goes in. cooked_g: the batch in its pot when it is done, without what goes in the
    bowl; bowl_g: what goes in the bowl. estimated: nutrient -> foods whose value of it is an estimate.
    """

    composition: Composition
    energy: Energy
    judgement: pd.DataFrame
    raw_g: float
    cooked_g: float
    cooked_is_estimate: bool
    bowl_g: float
    estimated: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def fed_g(self) -> float:
        """Everything the dog eats from this batch [g]."""
        return self.cooked_g + self.bowl_g


@dataclass(frozen=True)
class Contribution:
    """What one ingredient brings [the nutrient's unit] and its share of the known total; None: unknown.

    is_complete: False when the amount, or a part of a derived amount, is unknown.
    """

    food: str
    amount: float | None
    share: float | None
    is_complete: bool


def retention_method(portion: Portion, method: str) -> str:
    """The column of the retention table that holds for a portion in a batch cooked by `method`."""
    if not portion.meets_heat or method == NOT_HEATED:
        return NOT_HEATED
    return REHEATED if portion.state in COOKED_STATES else method


def retained(ingredients: Sequence[Portion], retention: pd.DataFrame, method: str, nutrients) -> pd.DataFrame:
    """Fraction left, a row per ingredient and a column per nutrient; 1 where no factor is published."""
    return published_factors(ingredients, retention, method, nutrients).fillna(1.0)


def published_factors(
    ingredients: Sequence[Portion], retention: pd.DataFrame, method: str, nutrients
) -> pd.DataFrame:
    """Fraction left, a row per ingredient and a column per nutrient; NaN where no factor is published."""
    rows = pd.MultiIndex.from_arrays(
        [
            [portion.retention_group for portion in ingredients],
            [retention_method(portion, method) for portion in ingredients],
        ]
    )
    factors = retention.reindex(index=rows, columns=nutrients)
    if "fat" in factors:
        bound = factors.columns.intersection(FATTY_ACIDS)
        own, of_fat = factors[bound].to_numpy(), factors[["fat"]].to_numpy()
        factors[bound] = np.where(np.isnan(own), of_fat, own)
    return factors


def composition(
    ingredients: Sequence[Portion],
    table: pd.DataFrame,
    retention: pd.DataFrame,
    method: str,
    negligible: frozenset[tuple[str, str]] = frozenset(),
) -> Composition:
    """What the batch holds after cooking.

    table: amounts per 100 g, index food name, NaN unknown. retention: fractions left, index (food group,
    method), NaN none published. USDA Table of Nutrient Retention Factors, Release 6: a factor acts on the
    amount in the raw portion, never on top of a cooking yield.
    """
    return next(compositions([ingredients], table, retention, method, negligible))


def brought(
    ingredients: Sequence[Portion], table: pd.DataFrame, retention: pd.DataFrame, method: str
) -> np.ndarray:
    """What each ingredient brings after cooking: a row each and a column per nutrient of the table.

    grams / 100 x amount per 100 g x fraction left; NaN where the food has no value.
    """
    foods = pd.Index([portion.food for portion in ingredients], dtype=object)
    hundreds = np.array([portion.grams for portion in ingredients], dtype=float) / 100
    left = retained(ingredients, retention, method, table.columns)
    return table.reindex(foods).to_numpy() * left.to_numpy() * hundreds[:, None]


def compositions(
    batches: Sequence[Sequence[Portion]],
    table: pd.DataFrame,
    retention: pd.DataFrame,
    method: str,
    negligible: frozenset[tuple[str, str]] = frozenset(),
) -> Iterator[Composition]:
    """The compositions of batches that are cooked alike: quicker than one by one."""
    ingredients = [portion for batch in batches for portion in batch]
    foods = pd.Index([portion.food for portion in ingredients], name=table.index.name, dtype=object)
    amounts = brought(ingredients, table, retention, method)
    end = 0
    for batch in batches:
        begin, end = end, end + len(batch)
        contributions = pd.DataFrame(amounts[begin:end], index=foods[begin:end], columns=table.columns)
        groups, grams = [portion.group for portion in batch], [portion.grams for portion in batch]
        yield total(contributions, groups, grams, negligible)


def cooked_weight(
    ingredients: Sequence[Portion],
    method: str,
    yields: Mapping[tuple[str, str], float],
    added_water_g: float = 0,
    cooked_weight_g: float | None = None,
) -> tuple[float, bool]:
    """Weight of the cooked batch in its pot [g], and whether it is an estimate.

    As weighed when it was. Else, with the liquid kept: (what is heated + added water) x the pot's yield;
    otherwise each heated food x its yield, foods entered cooked x 1. What is stirred in later keeps its
    weight, what goes in the bowl is not in the pot. yields: percent by (retention group, method).
    """
    if cooked_weight_g is not None:
        return cooked_weight_g, False
    heated = [portion for portion in ingredients if portion.meets_heat]
    stirred_in = sum(x.grams for x in ingredients if not x.meets_heat and x.when != IN_THE_BOWL)
    if method in LIQUID_KEPT:
        pot = (sum(x.grams for x in heated) + added_water_g) * yields.get((POT, method), 100) / 100
    else:
        pot = sum(x.grams * _yield_percent(x, method, yields) / 100 for x in heated)
    return pot + stirred_in, True


def _yield_percent(portion: Portion, method: str, yields: Mapping[tuple[str, str], float]) -> float:
    if portion.state in COOKED_STATES:
        return 100
    return yields.get((portion.retention_group, method), 100)


def analyse(
    ingredients: Sequence[Portion],
    table: pd.DataFrame,
    retention: pd.DataFrame,
    method: str,
    profile: ProfileLimits,
    negligible: frozenset[tuple[str, str]],
    yields: Mapping[tuple[str, str], float],
    added_water_g: float = 0,
    cooked_weight_g: float | None = None,
    estimates: frozenset[tuple[str, str]] = frozenset(),
) -> Analysis:
    """Composition, energy, judgement and weights of a batch. Raises ValueError when it holds no energy.

    estimates: (food name, nutrient key) of the values in `table` that are estimates.
    """
    made_of = composition(ingredients, table, retention, method, negligible)
    energy = energy_of(made_of)
    cooked_g, is_estimate = cooked_weight(ingredients, method, yields, added_water_g, cooked_weight_g)
    return Analysis(
        composition=made_of,
        energy=energy,
        judgement=judge(made_of.totals, made_of.completeness, energy.kcal, profile),
        raw_g=sum(portion.grams for portion in ingredients),
        cooked_g=cooked_g,
        cooked_is_estimate=is_estimate,
        bowl_g=sum(portion.grams for portion in ingredients if portion.when == IN_THE_BOWL),
        estimated=resting_on(estimates, [portion.food for portion in ingredients]),
    )


def contributions_to(composition: Composition, nutrient: str) -> list[Contribution]:
    """What each ingredient brings of a nutrient or a derived sum, largest first, those without a value last.

    Raises ValueError for a ratio: no ingredient brings a part of one.
    """
    if nutrient in RATIOS:
        raise ValueError("A ratio has no contributions: look at its parts.")
    weights = SUMS.get(nutrient, {nutrient: 1.0})
    parts = composition.contributions.reindex(columns=list(weights)) * pd.Series(weights)
    rows = pd.DataFrame({"amount": parts.sum(axis=1, min_count=1), "is_complete": parts.notna().all(axis=1)})
    known = composition.totals[nutrient]
    return [
        Contribution(food, None, None, False)
        if pd.isna(amount)
        else Contribution(food, amount, float(amount / known) if known else 0.0, is_complete)
        for food, amount, is_complete in rows.sort_values("amount", ascending=False).itertuples()
    ]


def no_factor_published(judgement: pd.DataFrame, retention: pd.DataFrame, method: str) -> tuple[str, ...]:
    """Names of the judged nutrients for which no retention factor is published for `method`, in any food.

    They are counted as if cooking took nothing of them. A derived amount is named when one of its parts has
    no factor. Nothing is named when nothing is heated.
    """
    if method == NOT_HEATED:
        return ()
    of_method = retention[retention.index.get_level_values(1) == method]
    published = set(of_method.columns[of_method.notna().any()])
    if "fat" in published:
        published.update(FATTY_ACIDS)
    return tuple(
        name for key, name in judgement["name"].items() if not published.issuperset(PARTS.get(key, (key,)))
    )
