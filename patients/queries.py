"""Reads of the dogs' records: the list, a dog's present plan, weights and diet."""

from dataclasses import dataclass

from django.db.models import Case, OuterRef, Q, QuerySet, Subquery, When

from patients.models import DietItem, Patient, Plan, Visit
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


def last_diet(patient: Patient) -> list[DietItem]:
    """What the dog ate at the last visit at which that was asked."""
    newest = patient.visits.filter(diet_items__isnull=False).values("pk")[:1]
    return list(DietItem.objects.filter(visit=Subquery(newest)).select_related("visit").order_by("pk"))
