"""Reads of the dogs' records: the list, and everything a dog's page shows."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Case, OuterRef, Q, QuerySet, Subquery, When

from nutrients.models import Caution, Food
from patients.cautions import AppliedCaution, Feeding, applying
from patients.concerns import concerns
from patients.diet import Intake, intake
from patients.dog import Avoided, Dog
from patients.energy import (
    HIGHEST_PERCENT_PER_BCS_POINT,
    PERCENT_PER_BCS_POINT,
    EnergyChoice,
    ideal_weight,
    methods_for,
    most_extras,
    resting_energy,
)
from patients.life_stage import LifeStage, life_stage
from patients.models import DietItem, EnergyFactor, Patient, Plan, Sheet, Visit
from patients.weigh_ins import WeighIn, weigh_ins


@dataclass(frozen=True)
class ListedPatient:
    patient: Patient
    visit: Visit | None
    plan: Plan | None


def patients_matching(words: str) -> QuerySet[Patient]:
    """Dogs with every word in their name or breed, or in their owner's name or phone number."""
    patients = Patient.objects.select_related("owner").order_by("name", "pk")
    for word in words.split():
        patients = patients.filter(
            Q(name__icontains=word)
            | Q(breed__icontains=word)
            | Q(owner__name__icontains=word)
            | Q(owner__phone__icontains=word)
        )
    return patients


def _present_plans(of_patient) -> QuerySet[Plan]:
    """The plans that have not ended, the one that is fed first."""
    issued_first = Case(When(state=Plan.State.ISSUED, then=0), default=1)
    plans = Plan.objects.filter(patient=of_patient).exclude(state=Plan.State.ENDED)
    return plans.order_by(issued_first, "-created_at")


def present_plan(patient: Patient) -> Plan | None:
    """The plan that is fed; when none was issued, the newest draft."""
    return _present_plans(patient).select_related("recipe_version__recipe", "profile__standard").first()


def listed(patients: QuerySet[Patient]) -> list[ListedPatient]:
    """The dogs of one page, each with its last visit and its present plan, in three queries."""
    last = Visit.objects.filter(patient=OuterRef("pk")).values("pk")[:1]
    plan = _present_plans(OuterRef("pk")).values("pk")[:1]
    dogs = list(patients.annotate(last_visit=Subquery(last), plan=Subquery(plan)))
    visits = Visit.objects.in_bulk([dog.last_visit for dog in dogs])
    plans = Plan.objects.select_related("recipe_version__recipe").in_bulk([dog.plan for dog in dogs])
    return [ListedPatient(dog, visits.get(dog.last_visit), plans.get(dog.plan)) for dog in dogs]


@dataclass(frozen=True)
class Weighed:
    visit: Visit
    entry: WeighIn


def weights_of(patient: Patient) -> list[Weighed]:
    """Every visit with its weigh-in, the first one first."""
    visits = list(patient.visits.order_by("date", "pk"))
    entries = weigh_ins((visit.date, visit.weight_kg) for visit in visits)
    return [Weighed(visit, entry) for visit, entry in zip(visits, entries, strict=True)]


@dataclass(frozen=True)
class EnergyRow:
    """A method's answer and 10 % of it, the most that extras may bring [kcal]; None when it names no kcal."""

    choice: EnergyChoice
    extras_kcal: float | None


@dataclass(frozen=True)
class EnergyOverview:
    """`problem` says why the methods cannot be shown; ideal weights are None for a growing dog."""

    resting_kcal: float
    ideal_kg: float | None
    ideal_kg_by_15: float | None
    resting_kcal_at_ideal: float | None
    rows: list[EnergyRow]
    problem: str = ""


def energy_overview(patient: Patient, visit: Visit, stage: LifeStage, observed: Intake) -> EnergyOverview:
    """Energy by every method that fits the dog, at its last weight."""
    ideal = ideal_weight(visit.weight_kg, visit.bcs, PERCENT_PER_BCS_POINT)
    rows, problem = [], ""
    try:
        choices = methods_for(
            EnergyFactor.objects.all(),
            weight_kg=visit.weight_kg,
            ideal_kg=ideal,
            stage=stage.energy_stage,
            expected_adult_kg=patient.expected_adult_kg,
            observed_kcal=observed.kcal or None,
        )
        rows = [EnergyRow(choice, most_extras(choice.kcal) if choice.kcal else None) for choice in choices]
    except ValueError as error:
        problem = str(error)
    grown = not stage.growing
    return EnergyOverview(
        resting_kcal=resting_energy(visit.weight_kg),
        ideal_kg=ideal if grown else None,
        ideal_kg_by_15=ideal_weight(visit.weight_kg, visit.bcs, HIGHEST_PERCENT_PER_BCS_POINT)
        if grown
        else None,
        resting_kcal_at_ideal=resting_energy(ideal) if grown else None,
        rows=rows,
        problem=problem,
    )


@dataclass(frozen=True)
class AvoidedFoods:
    """What the dog must not get, and the number of foods in the table that it means."""

    entry: Avoided
    foods: int


def avoided_foods(entries: Iterable[Avoided]) -> list[AvoidedFoods]:
    foods = list(Food.objects.values_list("name", "group")) if entries else []
    return [AvoidedFoods(entry, sum(entry.means(*food) for food in foods)) for entry in entries]


@dataclass(frozen=True)
class PatientPage:
    """Everything a dog's page shows. `weights`: the last one first; `visit` is None before the first one."""

    dog: Dog
    visit: Visit | None
    weights: list[Weighed]
    diet_items: list[DietItem]
    intake: Intake
    energy: EnergyOverview | None
    plan: Plan | None
    sheets: QuerySet[Sheet]
    avoided: list[AvoidedFoods]
    cautions: tuple[AppliedCaution, ...]


def patient_page(patient: Patient, on: date) -> PatientPage:
    weights = weights_of(patient)
    last = weights[-1] if weights else None
    dog = _dog(patient, last, on)
    items = last_diet(patient)
    observed = intake(items)
    plan = present_plan(patient)
    feeding = Feeding(dog, plan.goal if plan else "", portions=(), method="")
    return PatientPage(
        dog=dog,
        visit=last.visit if last else None,
        weights=weights[::-1],
        diet_items=items,
        intake=observed,
        energy=energy_overview(patient, last.visit, dog.stage, observed) if last else None,
        plan=plan,
        sheets=patient.sheets.defer("pdf", "record"),
        avoided=avoided_foods(dog.avoids),
        cautions=applying(Caution.objects.all(), {}, feeding),
    )


def _dog(patient: Patient, last: Weighed | None, on: date) -> Dog:
    stage = life_stage(patient.born, on, patient.expected_adult_kg)
    avoids = patient.avoids.select_related("food")
    return Dog(
        name=patient.name,
        breed=patient.breed,
        stage=stage,
        weight_kg=last.visit.weight_kg if last else None,
        bcs=last.visit.bcs if last else None,
        conditions=tuple(condition.name for condition in patient.conditions.all()),
        notes=patient.medical_notes,
        avoids=tuple(Avoided(a.food.name if a.food else "", a.word, a.reason) for a in avoids),
        concerns=tuple(_concerns(last, stage)) if last else (),
    )


def dog_of(patient: Patient, on: date) -> Dog:
    """What a feeding plan needs to know of a dog, as its record stands."""
    weights = weights_of(patient)
    return _dog(patient, weights[-1] if weights else None, on)


def _concerns(last: Weighed, stage: LifeStage) -> list[str]:
    visit = last.visit
    return concerns(
        bcs=visit.bcs,
        appetite=visit.appetite,
        muscle=visit.mcs,
        faecal_score=visit.faecal_score,
        percent_per_week=last.entry.percent_per_week,
        growing=stage.growing,
    )


def last_diet(patient: Patient) -> list[DietItem]:
    """What the dog ate at the last visit at which that was asked."""
    newest = patient.visits.filter(diet_items__isnull=False).values("pk")[:1]
    return list(DietItem.objects.filter(visit=Subquery(newest)).select_related("visit").order_by("pk"))
