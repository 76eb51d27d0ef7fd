"""What may stand in for an ingredient, and what follows from it. Pure calculation.

Every candidate is put into the whole recipe and judged as a recipe of its own. One that cannot be matched,
because what it is matched by is not known of it, is no candidate: unknown is not zero.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType

import pandas as pd

from nutrients.adequacy import ProfileLimits, judge
from nutrients.composition import RATIOS, SUMS, Composition
from nutrients.energy_density import energy_of, me_atwater
from recipes.analysis import COOLED_BATCH, HEATED_MOMENTS, Portion, composition, compositions
from recipes.differences import Differences, compared, lines_of
from recipes.scaling import in_whole_steps

ENERGY, PROTEIN, WEIGHT = "energy", "protein", "weight"
IN_THE_POT = "in_the_pot"
HUNDRED_G = 100
# Groups that can take each other's place in a meal, and the retention groups that are a kind of their own in
# their group, because they bring what the others do not. Common practice, no source.
RELATED_GROUPS = (
    {"muscle meat", "organ", "fish & shellfish", "egg", "dairy"},
    {"grain & starch", "legume"},
    {"vegetable", "fruit", "mushroom", "legume"},
    {"plant oil", "animal fat", "fish oil", "oil supplement", "seed & nut"},
    {"salt", "seaweed supplement", "mineral supplement"},
)
KINDS_OF_THEIR_OWN = ("liver", "shellfish")
KIN = ("same kind", "same group", "same group, in another state", "related group", "carries it too")
STRANGER = len(KIN) - 1
# Common practice, no source: beyond, it is another recipe.
MOST_TIMES = 5.0  # of the present weight, for a food
MOST_OF_BATCH = 0.15  # of the whole batch, for a food that brings a nutrient
MOST_JUDGED = 100  # the nearest are judged
# An ingredient is there for a mineral when it brings so much of its known total, and weighs no more of the
# batch than this.
MOST_OF_IT, SMALL_LINE = 0.4, 0.1

Amounts = Mapping[str, float]
NO_AMOUNTS: Amounts = MappingProxyType({})


@dataclass(frozen=True)
class Swap:
    """`portion` instead of every line of the food `replaces`.

    amounts: food -> grams of other lines that change along with it; 0 leaves one out.
    """

    replaces: str
    portion: Portion
    amounts: Amounts = field(default_factory=dict)

    def applied(self, portions: Sequence[Portion]) -> list[Portion]:
        """The recipe with the swap made. The portion stands where the food that it replaces stood first."""
        swapped, placed = [], False
        present = grams_of(portions)
        for line in portions:
            if line.food != self.replaces:
                grams = line.grams
                if line.food in self.amounts:  # a food on two lines keeps their proportion
                    grams *= self.amounts[line.food] / present[line.food]
                swapped += [replace(line, grams=grams)] if grams > 0 else []
            elif not placed:
                placed = True
                swapped.append(self.portion)
        return swapped


@dataclass(frozen=True)
class Setting:
    """What a recipe is judged with: the reference data, the method it is cooked by, and the profile."""

    table: pd.DataFrame
    retention: pd.DataFrame
    negligible: frozenset[tuple[str, str]]
    method: str
    limits: ProfileLimits

    def judged(self, portions: Sequence[Portion]) -> pd.DataFrame:
        """Raises ValueError when the portions hold no energy."""
        return self._judgement(self.holding(portions))

    def holding(self, portions: Sequence[Portion]) -> Composition:
        return composition(portions, self.table, self.retention, self.method, self.negligible)

    def judged_each(self, batches: Sequence[Sequence[Portion]]) -> list[pd.DataFrame]:
        """Quicker than one by one. Raises ValueError when one of them holds no energy."""
        held = compositions(batches, self.table, self.retention, self.method, self.negligible)
        return [self._judgement(made_of) for made_of in held]

    def _judgement(self, made_of: Composition) -> pd.DataFrame:
        return judge(made_of.totals, made_of.completeness, energy_of(made_of).kcal, self.limits)


@dataclass(frozen=True)
class Candidate:
    """A food that may stand in, in the amount that matches. kin: of KIN.

    already: the recipe holds it at that moment, so that it would be more of it and no substitution.
    """

    swap: Swap
    kin: str
    already: bool
    found: Differences


@dataclass(frozen=True)
class Counterweight:
    """Another line that could be less, because the stand-in brings `nutrient` as well: grams instead."""

    food: str
    nutrient: str
    before_g: float
    after_g: float


def grams_of(portions: Iterable[Portion]) -> dict[str, float]:
    """Food -> grams on all of its lines."""
    grams: dict[str, float] = {}
    for line in portions:
        grams[line.food] = grams.get(line.food, 0) + line.grams
    return grams


def there_for(portions: Sequence[Portion], food: str, setting: Setting) -> tuple[str, ...]:
    """Nutrients that meet their minimum no longer without this food, the one it is needed for most first.

    Ratios are left out: nothing can be matched by one. For a supplement without which every answer stays, it
    is the nutrient of which it brings most, measured by the minimum.
    """
    rest = [line for line in portions if line.food != food]
    before = setting.judged(portions)
    try:
        after = setting.judged(rest)
    except ValueError:  # nothing is left that holds energy
        return ()
    lost = after[(before["minimum_answer"] == "meets") & (after["minimum_answer"] != "meets")]
    needed = [key for key in lost.sort_values("percent_of_minimum").index if key not in RATIOS]
    if needed or not any(line.is_supplement for line in portions if line.food == food):
        return tuple(needed)
    gained = (before["percent_of_minimum"] - after["percent_of_minimum"].fillna(0)).drop(
        list(RATIOS), errors="ignore"
    )
    most = gained.nlargest(1)
    return tuple(key for key, percent in most.items() if percent > 0)


def kinship(line: Portion, other: Portion) -> int:
    """How near a food is to the one it would stand in for: a place in KIN."""
    if line.group == other.group and line.is_supplement == other.is_supplement:
        if line.state != other.state:
            return 2
        return 0 if _kind(line) == _kind(other) else 1
    return 3 if any({line.group, other.group} <= kin for kin in RELATED_GROUPS) else STRANGER


def related(group: str) -> set[str]:
    """The group itself and those that can take its place."""
    return {group}.union(*(kin for kin in RELATED_GROUPS if group in kin))


def _kind(portion: Portion) -> str:
    return portion.retention_group if portion.retention_group in KINDS_OF_THEIR_OWN else ""


def moment(line: Portion, other: Portion) -> str:
    """When a stand-in goes in: at the moment of the line, unless it has to be cooked or must not be."""
    if other.is_supplement:
        return COOLED_BATCH if line.when in HEATED_MOMENTS else line.when
    if other.state in ("raw", "dried") and line.when not in HEATED_MOMENTS:
        return line.when if line.state == other.state and not line.is_supplement else IN_THE_POT
    return line.when


def weighable(portion: Portion, grams: float) -> float:
    """Grams as a kitchen measures them: whole grams from 20 g on, tenths below, supplements in dose steps."""
    if portion.is_supplement and portion.smallest_step and portion.grams_per_dose_unit:
        unit_g = portion.grams_per_dose_unit
        return round(in_whole_steps(grams / unit_g, portion.smallest_step) * unit_g, 6)
    return in_whole_steps(grams, 1 if grams >= 20 else 0.1)


def brought(made_of: Composition, match: str) -> list[float]:
    """What each ingredient brings of what is matched by, NaN unknown: kcal, g, or the nutrient's unit."""
    rows = made_of.contributions
    if match == ENERGY:
        return [me_atwater(*map(float, row)) if not any(map(math.isnan, row)) else math.nan
                for row in rows[["protein", "fat", "nfe"]].to_numpy()]  # fmt: skip
    weights = SUMS.get(match, {match: 1.0})
    parts = rows.reindex(columns=list(weights)) * pd.Series(weights)
    return list(parts.sum(axis=1, skipna=match == "vitamin_a", min_count=1))


def matched(
    portions: Sequence[Portion], food: str, pool: Sequence[Portion], setting: Setting, match: str
) -> list[Portion]:
    """Those of the pool that can be matched, with the grams that bring as much as `food` brings.

    match: ENERGY, PROTEIN, WEIGHT or a nutrient's key. Amounts are compared after cooking. Raises ValueError
    when the food brings none of it or its amount is not known.
    """
    lines = [line for line in portions if line.food == food]
    present_g = sum(line.grams for line in lines)
    if match == WEIGHT:
        return [replace(other, grams=weighable(other, present_g)) for other in pool]
    wanted = sum(brought(setting.holding(lines), match))
    if not wanted > 0:
        raise ValueError(f"{food} brings nothing that is known of it: match by weight or another nutrient.")
    hundreds = [replace(other, grams=HUNDRED_G) for other in pool]
    in_hundred = brought(setting.holding(hundreds), match) if pool else []
    most_g = MOST_TIMES * present_g
    if match not in (ENERGY, PROTEIN):
        most_g = max(most_g, MOST_OF_BATCH * sum(line.grams for line in portions))
    sized = [
        replace(other, grams=weighable(other, HUNDRED_G * wanted / amount))
        for other, amount in zip(pool, in_hundred, strict=True)
        if amount > 0 and HUNDRED_G * wanted / amount <= most_g
    ]
    return sized


def candidates(
    portions: Sequence[Portion], food: str, pool: Sequence[Portion], setting: Setting, match: str
) -> list[Candidate]:
    """Candidates, the nearest kin first and in it those that do least harm.

    pool: portions of foods that may be offered, in any grams, each at the moment it would go in. Matched by a
    nutrient it does not matter what kind of food brings it: least harm alone decides. Raises ValueError when
    nothing can be matched by, or the recipe holds no energy.
    """
    line = next(line for line in portions if line.food == food)
    present = {(each.food, each.when) for each in portions}
    by_nutrient = match not in (ENERGY, PROTEIN, WEIGHT)
    others = [other for other in pool if other.food != food]
    sized = matched(portions, food, others, setting, match)
    near = sorted(sized, key=lambda other: (not by_nutrient and kinship(line, other), _how_far(line, other)))
    swaps = [Swap(food, other) for other in near[:MOST_JUDGED]]
    before = lines_of(setting.judged(portions))
    judged = setting.judged_each([swap.applied(portions) for swap in swaps]) if swaps else []
    found = [
        Candidate(
            swap=swap,
            kin=KIN[kinship(line, swap.portion)],
            already=(swap.portion.food, swap.portion.when) in present,
            found=compared(before, lines_of(after)),
        )
        for swap, after in zip(swaps, judged, strict=True)
    ]
    return sorted(found, key=lambda each: (not by_nutrient and KIN.index(each.kin), each.found.harm))


def counterweight(
    portions: Sequence[Portion], candidate: Candidate, setting: Setting, match: str
) -> Counterweight | None:
    """The line to take less of when a stand-in brings a mineral that this line was there for: the liver's
    copper, when oysters replace a zinc tablet. None when no mineral rises that a small line brings most of.
    """
    swap = candidate.swap
    rest = [line for line in portions if line.food not in (swap.replaces, swap.portion.food)]
    made_of, grams = setting.holding(portions), grams_of(portions)
    for risen in (each for each in candidate.found.all if each.raises_mineral and each.key != match):
        of_each = dict.fromkeys(grams, 0.0)
        for line, amount in zip(portions, brought(made_of, risen.key), strict=True):
            of_each[line.food] += 0.0 if math.isnan(amount) else amount
        [extra] = brought(setting.holding([swap.portion]), risen.key)
        extra -= of_each[swap.replaces]
        source = max(rest, key=lambda line, of_each=of_each: of_each[line.food])
        small = grams[source.food] <= SMALL_LINE * sum(grams.values())
        if small and of_each[source.food] >= MOST_OF_IT * sum(of_each.values()):
            before_g = grams[source.food]
            less_g = before_g * (1 - extra / of_each[source.food])
            after_g = weighable(source, less_g) if less_g > 0 else 0.0
            return Counterweight(source.food, risen.name, before_g, after_g)
    return None


def _how_far(line: Portion, other: Portion) -> float:
    return abs(math.log(other.grams / line.grams))
