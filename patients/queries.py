"""Reads of the dogs' records: the list, and everything a dog's page shows."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Case, OuterRef, Q, QuerySet, Subquery, When

from nutrients.models import Caution, Food
from patients.concerns import concerns
from patients.diet import Intake, intake
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
from patients.models import Avoid, DietItem, EnergyFactor, Patient, Plan, Sheet, Visit
from patients.weigh_ins import WeighIn, weigh_ins

NOT_TELLING = {"chronic", "disease", "syndrome", "stones", "weight", "therapy", "severe", "adult", "large"}
TELLING_LETTERS = 5


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
class Avoided:
    avoid: Avoid
    foods: int


def avoided(patient: Patient) -> list[Avoided]:
    """What the dog must not get, each with the number of foods in the table that it means."""
    avoids = list(patient.avoids.select_related("food"))
    foods = [f"{name}\n{group}".lower() for name, group in Food.objects.values_list("name", "group")]
    return [
        Avoided(avoid, 1 if avoid.food else sum(avoid.word.lower() in food for food in foods))
        for avoid in avoids
    ]


def cautions_touching(texts: Iterable[str]) -> list[Caution]:
    """Cautions about nutrients and conditions that share a telling word with a condition or a breed."""
    found = {word for text in texts for word in re.findall(r"\w+", text.lower())}
    telling = {word for word in found if len(word) >= TELLING_LETTERS} - NOT_TELLING
    cautions = Caution.objects.exclude(kind="toxic food") if telling else Caution.objects.none()
    return [caution for caution in cautions if any(word in _about(caution) for word in telling)]


def _about(caution: Caution) -> str:
    return f"{caution.subject} {caution.words} {caution.detail}".lower()


@dataclass(frozen=True)
class PatientPage:
    stage: LifeStage
    visit: Visit | None
    concerns: list[str]
    weights: list[Weighed]
    diet_items: list[DietItem]
    intake: Intake
    energy: EnergyOverview | None
    plan: Plan | None
    sheets: QuerySet[Sheet]
    conditions: list[str]
    avoided: list[Avoided]
    cautions: list[Caution]


def patient_page(patient: Patient, on: date) -> PatientPage:
    """Everything a dog's page shows on a day."""
    stage = life_stage(patient.born, on, patient.expected_adult_kg)
    weights = weights_of(patient)
    last = weights[-1] if weights else None
    items = last_diet(patient)
    observed = intake(items)
    conditions = [condition.name for condition in patient.conditions.all()]
    age_words = "puppies" if stage.growing else stage.label
    return PatientPage(
        stage=stage,
        visit=last.visit if last else None,
        concerns=_concerns(last, stage) if last else [],
        weights=weights[::-1],
        diet_items=items,
        intake=observed,
        energy=energy_overview(patient, last.visit, stage, observed) if last else None,
        plan=present_plan(patient),
        sheets=patient.sheets.defer("pdf", "record"),
        conditions=conditions,
        avoided=avoided(patient),
        cautions=cautions_touching([*conditions, patient.breed, age_words]),
    )


def last_diet(patient: Patient) -> list[DietItem]:
    """What the dog ate at the last visit at which that was asked."""
    newest = patient.visits.filter(diet_items__isnull=False).values("pk")[:1]
    return list(DietItem.objects.filter(visit=Subquery(newest)).select_related("visit").order_by("pk"))


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
