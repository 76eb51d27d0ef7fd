"""A dog that is fed by a recipe with chalk, and chalk that turns out to hold less than it said."""

from dataclasses import asdict
from datetime import timedelta
from itertools import count

from django.contrib.auth.models import User
from django.utils import timezone

from nutrients.adequacy_table import grouped_rows
from nutrients.corrections import Correction, corrections
from nutrients.models import FoodValue
from patients.models import Plan, Sheet
from patients.services import work_out
from recipes.models import RecipeVersion
from tests import cast

CHALK, TURKEY = "Calcium carbonate powder", "Ground turkey, 93% lean, raw"
numbers = count(1)


def long_ago(row):
    """Made before anything was corrected."""
    row.created_at = timezone.now() - timedelta(days=30)
    type(row).objects.filter(pk=row.pk).update(created_at=row.created_at)
    return row


def make_version(by: User) -> RecipeVersion:
    """Turkey with enough chalk: calcium meets the minimum."""
    return long_ago(cast.make_recipe(amounts={TURKEY: 500, CHALK: 4}, approved_by=by))


def make_fed_plan(version: RecipeVersion, **dog) -> Plan:
    patient = cast.make_patient(**dog)
    cast.make_visit(patient)
    return long_ago(cast.make_plan(patient, version, state=Plan.State.ISSUED))


def as_issued(plan: Plan) -> dict:
    """What the record of a sheet says of the nutrients."""
    judgement = work_out(plan).batch.strictest
    groups = [[group, [asdict(row) for row in rows]] for group, rows in grouped_rows(judgement)]
    return {"adequacy": {"groups": groups}}


def issue(plan: Plan, by: User, days_ago: int = 10, good_for: int = 60, **record) -> Sheet:
    """A sheet that says of the nutrients what holds now; `record` in the place of that."""
    at = timezone.now() - timedelta(days=days_ago)
    return Sheet.objects.create(
        plan=plan, patient=plan.patient, number=next(numbers), issued_by=by, issued_at=at,
        expires_on=(at + timedelta(days=good_for)).date(), pdf=b"pdf", sha256="0" * 64,
        record=record or as_issued(plan),
    )  # fmt: skip


def correct(row, reason: str = "misprint", **fields) -> Correction:
    for name, content in fields.items():
        setattr(row, name, content)
    row._change_reason = reason
    row.save()
    return corrections()[0]


def chalks_calcium() -> FoodValue:
    return FoodValue.objects.get(food__name=CHALK, nutrient__key="calcium")


def weaker_chalk(per_100g: float = 8000.0, reason: str = "misprint") -> Correction:
    """It holds a fifth of the calcium."""
    return correct(chalks_calcium(), reason, per_100g=per_100g)
