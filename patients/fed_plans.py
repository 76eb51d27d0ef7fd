"""Reads of what a dog was fed when: its plans that were issued, by the day each began."""

from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Min
from django.utils import timezone

from patients.models import Patient, Plan

FIRST_ISSUED = Min("sheets__issued_at")


@dataclass(frozen=True)
class FedPlan:
    plan: Plan
    began: date


def fed_plans(patient: Patient) -> list[FedPlan]:
    """Plans that are or were fed, the first one first."""
    plans = patient.plans.exclude(state=Plan.State.DRAFT).select_related("recipe_version__recipe", "profile")
    plans = plans.annotate(issued=FIRST_ISSUED)
    fed = [FedPlan(plan, began(plan.issued, plan.created_at)) for plan in plans]
    return sorted(fed, key=lambda each: (each.began, each.plan.pk))


def began(issued: datetime | None, made: datetime) -> date:
    """A plan begins with its first sheet."""
    return timezone.localdate(issued or made)


def fed_before(patient: Patient, day: date) -> FedPlan | None:
    """What was fed until a day: the last plan that began earlier."""
    return next((fed for fed in reversed(fed_plans(patient)) if fed.began < day), None)
