"""Reads for the energy page."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from nutrients.models import Profile
from nutrients.queries import profile_limits
from patients.diet import Intake, intake
from patients.dog import Dog
from patients.energy import resting_energy
from patients.energy_choices import LOSE, EnergyChoice
from patients.energy_forms import EnergyForm
from patients.energy_page import (
    BY_HAND,
    EnergyRow,
    Mark,
    Outcome,
    Raised,
    Scale,
    grouped,
    outcome,
    richer_food,
    scale_for,
)
from patients.models import Patient
from patients.plan_queries import ALLOWANCES, dog_of, energy_choices
from patients.queries import last_diet

OBSERVED, CROSS_CHECK = "observed", "weight-loss-from-maintenance"


@dataclass(frozen=True)
class EnergyPage:
    """`problem`: why there are no methods, or "". target_kg: the weight aimed at. resting_kcal: at the weight
    now. more_of: what the food must hold more of; None until an energy is chosen, or for a growth profile.
    eaten: by the last diet history.
    """

    dog: Dog
    form: EnergyForm
    target_kg: float
    resting_kcal: float
    resting_kcal_at_target: float
    scale: Scale
    groups: list[tuple[str, list[EnergyRow]]]
    outcome: Outcome
    profile: Profile
    more_of: list[Raised] | None
    eaten: Intake
    problem: str

    @property
    def rer_place(self) -> float:
        return self.scale.at(self.resting_kcal)

    @property
    def by_hand(self) -> bool:
        return self.outcome.method == BY_HAND

    @property
    def typed_mark(self) -> Mark | None:
        """Where the practitioner's own number stands."""
        kcal = self.outcome.kcal
        if not self.by_hand or kcal is None:
            return None
        return Mark(self.scale.at(kcal), None, None, beyond=kcal > self.scale.end)

    @property
    def range_label(self) -> str:
        """An intake at steady weight belongs to the range, and is no published number."""
        choices = (row.choice for _, rows in self.groups for row in rows)
        observed = any(c.key == OBSERVED and c.offered and c.goal == self.form.wanted.goal for c in choices)
        return "Published for this goal, or observed" if observed else "Published for this goal"

    @property
    def cross_check(self) -> EnergyChoice | None:
        """60 % of maintenance, while the goal is to lose weight."""
        if self.form.wanted.goal != LOSE:
            return None
        choices = (row.choice for _, rows in self.groups for row in rows)
        return next((choice for choice in choices if choice.key == CROSS_CHECK), None)

    @property
    def plan_query(self) -> str:
        return self.form.plan_query(self.outcome)


def energy_of(patient: Patient, on: date, asked: Mapping[str, str]) -> EnergyPage | None:
    """None before the dog was weighed."""
    dog = dog_of(patient, on)
    if dog.weight_kg is None:
        return None
    form = EnergyForm(asked, dog=dog)
    form.is_valid()
    target_kg, wanted = form.target_kg_or_now, form.wanted
    choices, problem = _choices(patient, dog, target_kg)
    found = outcome(wanted, choices, dog)
    resting = resting_energy(dog.weight_kg)
    scale = scale_for(choices, resting, found.kcal)
    profile = Profile.objects.select_related("standard").get(key=dog.profile_key)
    return EnergyPage(
        dog=dog,
        form=form,
        target_kg=target_kg,
        resting_kcal=resting,
        resting_kcal_at_target=resting_energy(target_kg),
        scale=scale,
        groups=grouped(choices, scale, found, wanted.goal),
        outcome=found,
        profile=profile,
        more_of=_more_of(profile, found.kcal, target_kg),
        eaten=intake(last_diet(patient)),
        problem=problem,
    )


def _choices(patient: Patient, dog: Dog, target_kg: float) -> tuple[list[EnergyChoice], str]:
    try:
        return energy_choices(patient, dog, target_kg, for_comparison=True), ""
    except ValueError as problem:
        return [], str(problem)


def _more_of(profile: Profile, kcal: float | None, ideal_kg: float) -> list[Raised] | None:
    if kcal is None or profile.growth:
        return None
    allowances = profile_limits(Profile.objects.get(key=ALLOWANCES))
    return richer_food(profile_limits(profile), allowances, kcal, ideal_kg)
