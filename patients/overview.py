"""Everything that a dog's page shows."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet

from nutrients.models import Food
from patients.caution_page import Cautions, cautions_on_page
from patients.diet import Intake, intake
from patients.dog import Avoided, Dog
from patients.energy import (
    HIGHEST_PERCENT_PER_BCS_POINT,
    most_extras,
    resting_energy,
)
from patients.energy_choices import EnergyChoice
from patients.models import DietItem, Patient, Plan, Sheet, Visit
from patients.plan_queries import dog_of, energy_choices, last_visit
from patients.queries import Weighed, last_diet, newest_visit, present_plan, sheets_of, weights_of
from patients.recheck_queries import RecheckAnswer, answer_of, at_home_since
from patients.rechecks import AtHome
from patients.weigh_ins import WeighIn
from patients.weight_curve import CurveRow, WeightCurve, weight_curve


@dataclass(frozen=True)
class EnergyRow:
    """A method's answer and 10 % of it, the most that extras may bring [kcal]; None when it names no kcal."""

    choice: EnergyChoice
    extras_kcal: float | None


@dataclass(frozen=True)
class EnergyOverview:
    """Energy at the last weight [kcal/day]. A growing dog has no ideal weight: those fields are None.

    ideal_kg: at 10 % per point of body condition; ideal_kg_by_15: at 15 %. `problem` says why there are no
    rows.
    """

    resting_kcal: float
    ideal_kg: float | None
    ideal_kg_by_15: float | None
    resting_kcal_at_ideal: float | None
    rows: list[EnergyRow]
    problem: str = ""


def energy_overview(patient: Patient, dog: Dog) -> EnergyOverview:
    """Every method that fits a dog that was weighed, side by side; nothing is chosen."""
    ideal = dog.ideal_kg()
    rows, problem = [], ""
    try:
        choices = energy_choices(patient, dog, ideal)
        rows = [EnergyRow(choice, most_extras(choice.kcal) if choice.kcal else None) for choice in choices]
    except ValueError as error:
        problem = str(error)
    if dog.stage.growing:
        return EnergyOverview(resting_energy(dog.weight_kg), None, None, None, rows, problem)
    return EnergyOverview(
        resting_kcal=resting_energy(dog.weight_kg),
        ideal_kg=ideal,
        ideal_kg_by_15=dog.ideal_kg(HIGHEST_PERCENT_PER_BCS_POINT),
        resting_kcal_at_ideal=resting_energy(ideal),
        rows=rows,
        problem=problem,
    )


@dataclass(frozen=True)
class AvoidedFoods:
    """What the dog must not get, and the number of foods in the table that it means."""

    entry: Avoided
    foods: int


def avoided_foods(entries: Sequence[Avoided]) -> list[AvoidedFoods]:
    foods = list(Food.objects.values_list("name", "group")) if entries else []
    return [AvoidedFoods(entry, sum(entry.means(*food) for food in foods)) for entry in entries]


@dataclass(frozen=True)
class PatientPage:
    """`weights`: the last one first, those left out too; `visit` (the last one whose weight is believed) and
    `energy` are None before the first.
    """

    dog: Dog
    visit: Visit | None
    weights: list[Weighed]
    diet_items: list[DietItem]
    intake: Intake
    energy: EnergyOverview | None
    plan: Plan | None
    curve: WeightCurve
    follow_up: RecheckAnswer | None
    at_home: AtHome | None
    sheets: QuerySet[Sheet]
    avoided: list[AvoidedFoods]
    cautions: Cautions

    @property
    def weight_rows(self) -> list[CurveRow]:
        return [self.curve.row(weighed) for weighed in self.weights]

    @property
    def doubtful(self) -> WeighIn | None:
        """The last weigh-in of a grown dog when it cannot well be right."""
        last = self.weights[0].entry if self.weights else None
        return last if last and last.is_unlikely and not self.dog.stage.growing else None


def patient_page(patient: Patient, on: date) -> PatientPage:
    weights = weights_of(patient, with_left_out=True)[::-1]
    dog = dog_of(patient, on)
    items = last_diet(patient)
    plan = present_plan(patient)
    return PatientPage(
        dog=dog,
        visit=last_visit(patient),
        weights=weights,
        diet_items=items,
        intake=intake(items),
        energy=energy_overview(patient, dog) if dog.weight_kg else None,
        plan=plan,
        curve=weight_curve(patient),
        follow_up=answer_of(seen) if (seen := newest_visit(patient)) else None,
        at_home=at_home_since(patient, weights[::-1], dog.stage.growing),
        sheets=sheets_of(patient).select_related("patient").defer("pdf", "record"),
        avoided=avoided_foods(dog.avoids),
        cautions=cautions_on_page(patient, dog, plan),
    )
