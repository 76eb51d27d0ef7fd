"""Reads what wants looking at between visits: each question in a few queries for all dogs together.

Only dogs that are fed now count. What has to be worked out dog by dog is read without the records.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Exists, OuterRef, Prefetch, Q, QuerySet, Subquery

from patients.fed_plans import FIRST_ISSUED, began
from patients.life_stage import life_stage
from patients.models import HomeWeighIn, Patient, Plan, Sheet, Task, Visit
from patients.recheck_queries import wanted_pace
from patients.rechecks import DayAndKg
from patients.watch import LATE_AFTER_DAYS, NewStage, Pace, days_without, is_late, new_stage, pace
from recipes.models import Ingredient


def plans_in(state: str) -> QuerySet[Plan]:
    """Plans of the dogs that are fed now, in a state."""
    plans = Plan.objects.filter(state=state, patient__in=Patient.objects.fed())
    return plans.select_related("patient__owner", "recipe_version__recipe").order_by("patient__name", "pk")


def rechecks_until(last: date) -> QuerySet[Patient]:
    """The longest overdue first."""
    due = Patient.objects.fed().filter(next_recheck__lte=last).select_related("owner")
    return due.order_by("next_recheck", "name", "pk")


def tasks_until(last: date) -> QuerySet[Task]:
    """To be done by a day, the longest overdue first."""
    return Task.objects.filter(done_at__isnull=True, due__lte=last).select_related("owner", "patient")


@dataclass(frozen=True)
class Unweighed:
    """last: None when the dog was never weighed; days: since then, or since its plan began."""

    plan: int
    last: date | None
    days: int


def weigh_ins_missing(on: date) -> list[Unweighed]:
    """Dogs on an issued plan that are to lose or that grow, without a weigh-in for too long."""
    found = []
    for plan, made, issued, goal, born, adult_kg, *weighed in _not_weighed_since(on):
        last = max(filter(None, weighed), default=None)
        days = days_without(last, began(issued, made), on)
        if is_late(days) and (goal == Plan.Goal.LOSE or _grows(born, adult_kg, on)):
            found.append(Unweighed(plan, last, days))
    return sorted(found, key=lambda each: (-each.days, each.plan))


def _not_weighed_since(on: date) -> Iterable[tuple]:
    """Each plan with what is known of its dog, and when that was weighed last, here and at home."""
    late = Q(date__gte=on - timedelta(days=LATE_AFTER_DAYS))
    plans, last = plans_in(Plan.State.ISSUED).order_by(), {}
    for name, model in (("seen", Visit), ("at_home", HomeWeighIn)):
        believed = model.objects.filter(patient=OuterRef("patient"), left_out=False)
        plans = plans.filter(~Exists(believed.filter(late)))
        last[name] = Subquery(believed.order_by("-date").values("date")[:1])
    of_dog = ("patient__born", "patient__expected_adult_kg")
    plans = plans.annotate(issued=FIRST_ISSUED, **last)
    return plans.values_list("pk", "created_at", "issued", "goal", *of_dog, "seen", "at_home")


def _grows(born: date, adult_kg: float | None, on: date) -> bool:
    return on >= born and life_stage(born, on, adult_kg).growing


@dataclass(frozen=True)
class Loss:
    plan: int
    pace: Pace


def losses(on: date) -> list[Loss]:
    """How each planned loss goes, where that can be told."""
    plans = plans_in(Plan.State.ISSUED).filter(goal=Plan.Goal.LOSE)
    weights = _weights_of(plans)
    asked = ("pk", "patient", "created_at", "issued", "target_kg", "patient__gentle_loss")
    found = []
    for plan, dog, made, issued, target_kg, gentle in plans.annotate(issued=FIRST_ISSUED).values_list(*asked):
        how = pace(weights[dog], began(issued, made), on, target_kg, wanted_pace(gentle))
        if how:
            found.append(Loss(plan, how))
    return found


def _weights_of(plans: QuerySet[Plan]) -> dict[int, list[DayAndKg]]:
    """Dog -> its weigh-ins that are believed, of the practice and of the owner."""
    weights = defaultdict(list)
    for model in (Visit, HomeWeighIn):
        believed = model.objects.filter(left_out=False, patient__in=plans.order_by().values("patient"))
        for dog, day, kg in believed.order_by().values_list("patient", "date", "weight_kg"):
            weights[dog].append((day, kg))
    return weights


def plans_by_key(keys: Iterable[int]) -> dict[int, Plan]:
    return Plan.objects.select_related("patient__owner").in_bulk(list(keys))


def plans_without_sheet() -> QuerySet[Plan]:
    """Plans in draft: one is issued with its first sheet."""
    return plans_in(Plan.State.DRAFT)


def expired_sheets(on: date) -> QuerySet[Plan]:
    """Plans that are fed by a sheet whose days are over or that was withdrawn.

    Each says as `expired_on` until when it was good, and as `withdrawn_on` when it was withdrawn.
    """
    newest = Sheet.objects.filter(plan=OuterRef("pk")).order_by("-issued_at")
    plans = plans_in(Plan.State.ISSUED).annotate(
        expired_on=Subquery(newest.values("expires_on")[:1]),
        withdrawn_on=Subquery(newest.values("withdrawal__at")[:1]),
    )
    over = Q(expired_on__lt=on) | Q(withdrawn_on__isnull=False)
    return plans.filter(over).order_by("expired_on", "patient__name", "pk")


def plans_with_discontinued() -> QuerySet[Plan]:
    """Plans that are fed with something that is no longer bought: `gone` of their version are its lines."""
    gone = Ingredient.objects.filter(food__discontinued=True).select_related("food").order_by("food__name")
    of_version = gone.order_by().filter(version=OuterRef("recipe_version"))
    lines = Prefetch("recipe_version__ingredients", queryset=gone, to_attr="gone")
    return plans_in(Plan.State.ISSUED).filter(Exists(of_version)).prefetch_related(lines)


def new_stages(on: date) -> list[tuple[int, NewStage]]:
    """Dogs that came into a new life stage lately or will soon, in the order of the days."""
    dogs = Patient.objects.fed().order_by().values_list("pk", "born", "expected_adult_kg")
    found = [(dog, stage) for dog, born, adult_kg in dogs if (stage := new_stage(born, adult_kg, on))]
    return sorted(found, key=lambda each: (each[1].day, each[0]))
