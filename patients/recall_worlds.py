"""The reference data as it stands and as it stood before a correction, to judge recipes and plans with."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

import pandas as pd

from nutrients.adequacy import ProfileLimits, judge
from nutrients.composition import Composition
from nutrients.corrections import FOOD_VALUE, LIMIT, RETENTION, Correction
from nutrients.energy_density import energy_of
from nutrients.models import Food, Limit, Nutrient, Profile
from nutrients.queries import profile_limits
from patients.batch import Grounds
from patients.energy import recipe_energy
from patients.models import Plan
from patients.plan_queries import ALLOWANCES
from patients.recall import (
    columns_for,
    limits_reached,
    narrowed,
    nutrients_reached,
    with_factors,
    with_values,
)
from patients.workings import cook
from recipes.analysis import Portion, compositions
from recipes.models import RecipeVersion
from recipes.queries import Reference


class Undone(NamedTuple):
    """What stood before a correction, None where nothing did.

    reached: the nutrients whose answers can be other ones; None for all. values: amounts per 100 g by (food,
    nutrient); factors: percentages by (food group, method, nutrient); limits: by their primary keys.
    """

    reached: frozenset[str] | None

    values: dict[tuple[str, str], float | None]
    factors: dict[tuple[str, str, str], float | None]
    limits: dict[int, Limit | None]


def undone(correction: Correction) -> Undone:
    """Of several changes of one row the first says what stood before."""
    keys = dict(Nutrient.objects.values_list("pk", "key"))
    corrected = {keys[turn.entry.nutrient_id] for turn in correction.turns}
    reach = limits_reached if correction.kind == LIMIT else nutrients_reached
    found = Undone(reach(corrected), {}, {}, {})
    foods = dict(Food.objects.values_list("pk", "name")) if correction.kind == FOOD_VALUE else {}
    for entry, before, _ in correction.turns:
        key = keys[entry.nutrient_id]
        if correction.kind == FOOD_VALUE:
            found.values.setdefault((foods.get(entry.food_id, ""), key), before and before.per_100g)
        if correction.kind == RETENTION:
            found.factors.setdefault((entry.food_group, entry.method, key), before and before.percent)
        if correction.kind == LIMIT:
            found.limits.setdefault(entry.id, before and _limit(before))
    return found


def _limit(entry) -> Limit:
    """A limit as an entry of its history keeps it: to judge with, not to be saved."""
    limit = entry.instance
    limit.changed = True
    return limit


@dataclass(frozen=True)
class World:
    """Reference data to judge with. instead: limits that stand in for the stored ones; only: the nutrients
    that are judged, None for all.
    """

    reference: Reference
    instead: Mapping[int, Limit | None] = field(default_factory=dict)
    only: frozenset[str] | None = None
    _limits: dict[str, ProfileLimits] = field(default_factory=dict)

    def narrowed(self, only: frozenset[str] | None) -> "World":
        """The same world, quicker to judge with: of so few nutrients."""
        if only is None:
            return self
        table = self.reference.table
        few = table[[column for column in table.columns if column in columns_for(only)]]
        return World(replace(self.reference, table=few), self.instead, only)

    def before(self, undo: Undone) -> "World":
        """The same world as it was before a correction."""
        stood = replace(
            self.reference,
            table=with_values(self.reference.table, undo.values),
            retention=with_factors(self.reference.retention, undo.factors),
        )
        return World(stood, undo.limits, self.only)

    def limits(self, profile: Profile) -> ProfileLimits:
        if profile.key not in self._limits:
            limits = profile_limits(profile, self.instead)
            self._limits[profile.key] = limits if self.only is None else narrowed(limits, self.only)
        return self._limits[profile.key]

    def allowances(self) -> ProfileLimits:
        kept = self._limits.get(ALLOWANCES)
        return kept or self.limits(Profile.objects.select_related("standard").get(key=ALLOWANCES))

    def judged(self, batches: Mapping[RecipeVersion, Sequence[Portion]]) -> dict[int, pd.DataFrame | None]:
        """Versions against their recipes' profiles, by primary key; None for one that holds no energy."""
        alike: dict[str, list[RecipeVersion]] = {}
        for version in batches:
            alike.setdefault(version.method, []).append(version)
        given = self.reference
        return {
            version.pk: self._judged(version, made_of)
            for method, versions in alike.items()
            for version, made_of in zip(
                versions,
                compositions(
                    [batches[version] for version in versions],
                    given.table,
                    given.retention,
                    method,
                    given.negligible,
                ),
                strict=True,
            )
        }

    def _judged(self, version: RecipeVersion, made_of: Composition) -> pd.DataFrame | None:
        try:
            kcal = energy_of(made_of).kcal
            return judge(made_of.totals, made_of.completeness, kcal, self.limits(version.recipe.profile))
        except ValueError:
            return None

    def fed(self, plan: Plan, portions: list[Portion]) -> pd.DataFrame | None:
        """A plan's batch as rounded, at its strictest; None when it cannot be worked out."""
        version, given = plan.recipe_version, self.reference
        grounds = Grounds(
            portions=tuple(portions),
            method=version.method,
            table=given.table,
            retention=given.retention,
            profile=self.limits(plan.profile),
            allowances=self.allowances(),
            negligible=given.negligible,
            yields=given.yields,
            added_water_g=version.added_water_g,
            cooked_weight_g=version.cooked_weight_g,
        )
        try:
            kcal = recipe_energy(plan.kcal_per_day, plan.extras_kcal, plan.recipe_share)
            return cook(plan, grounds, kcal).strictest
        except ValueError:
            return None
