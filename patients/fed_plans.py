"""Reads of what a dog was fed when: its plans that were issued, by the day each began."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Min, QuerySet
from django.utils import timezone

from patients.models import Patient, Plan


@dataclass(frozen=True)
class FedPlan:
    plan: Plan
    began: date


def fed_plans(patient: Patient) -> list[FedPlan]:
    """Plans that are or were fed, the first one first."""
    plans = patient.plans.exclude(state=Plan.State.DRAFT).select_related("recipe_version__recipe", "profile")
    return sorted(with_beginnings(plans), key=lambda each: (each.began, each.plan.pk))


def with_beginnings(plans: QuerySet[Plan]) -> list[FedPlan]:
    """A plan begins with its first sheet."""
    found = plans.annotate(issued=Min("sheets__issued_at"))
    return [FedPlan(plan, timezone.localdate(plan.issued or plan.created_at)) for plan in found]


def fed_before(patient: Patient, day: date) -> FedPlan | None:
    """What was fed until a day: the last plan that began earlier."""
    return next((fed for fed in reversed(fed_plans(patient)) if fed.began < day), None)
