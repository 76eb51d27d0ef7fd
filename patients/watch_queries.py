"""Reads what wants looking at between visits: each question in a few queries for all dogs together.

Only dogs that are fed now count.
"""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from django.db.models import Exists, OuterRef, QuerySet, Subquery

from nutrients.models import Food
from patients.fed_plans import FedPlan, with_beginnings
from patients.life_stage import life_stage
from patients.models import HomeWeighIn, Patient, Plan, Sheet, Task, Visit
from patients.recheck_queries import pace_of
from patients.rechecks import DayAndKg
from patients.watch import NewStage, Pace, days_without, is_late, new_stage, pace
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

    plan: Plan
    last: date | None
    days: int


def weigh_ins_missing(on: date) -> list[Unweighed]:
    """Dogs on an issued plan that are to lose or that grow, without a weigh-in for too long."""
    found = []
    for fed in _fed_with_last_weigh_in():
        days = days_without(fed.plan.weighed, fed.began, on)
        if is_late(days) and (fed.plan.goal == Plan.Goal.LOSE or _grows(fed.plan.patient, on)):
            found.append(Unweighed(fed.plan, fed.plan.weighed, days))
    return sorted(found, key=lambda each: -each.days)


def _fed_with_last_weigh_in() -> list[FedPlan]:
    """Each plan says as `weighed` when its dog was weighed last, by whom ever."""
    of_dog = {"patient": OuterRef("patient"), "left_out": False}
    last = Visit.objects.filter(**of_dog).order_by("-date").values("date")[:1]
    last_at_home = HomeWeighIn.objects.filter(**of_dog).order_by("-date").values("date")[:1]
    plans = plans_in(Plan.State.ISSUED).annotate(seen=Subquery(last), at_home=Subquery(last_at_home))
    fed = with_beginnings(plans)
    for each in fed:
        each.plan.weighed = max(filter(None, (each.plan.seen, each.plan.at_home)), default=None)
    return fed


def _grows(patient: Patient, on: date) -> bool:
    return on >= patient.born and life_stage(patient.born, on, patient.expected_adult_kg).growing


@dataclass(frozen=True)
class Loss:
    plan: Plan
    pace: Pace


def losses(on: date) -> list[Loss]:
    """How each planned loss goes, where that can be told."""
    plans = plans_in(Plan.State.ISSUED).filter(goal=Plan.Goal.LOSE)
    weights = _weights_of(plans)
    found = []
    for fed in with_beginnings(plans):
        plan = fed.plan
        how = pace(weights[plan.patient_id], fed.began, on, plan.target_kg, pace_of(plan.patient))
        if how:
            found.append(Loss(plan, how))
    return found


def _weights_of(plans: QuerySet[Plan]) -> dict[int, list[DayAndKg]]:
    """Dog -> its weigh-ins that are believed, of the practice and of the owner."""
    weights = defaultdict(list)
    for model in (Visit, HomeWeighIn):
        believed = model.objects.filter(left_out=False, patient__in=plans.order_by().values("patient"))
        for dog, day, kg in believed.values_list("patient", "date", "weight_kg"):
            weights[dog].append((day, kg))
    return weights


def plans_without_sheet() -> QuerySet[Plan]:
    """Plans in draft: one is issued with its first sheet."""
    return plans_in(Plan.State.DRAFT)


def expired_sheets(on: date) -> QuerySet[Plan]:
    """Plans that are fed by a sheet whose days are over; each says as `expired_on` since when."""
    newest = Sheet.objects.filter(plan=OuterRef("pk")).order_by("-issued_at").values("expires_on")[:1]
    plans = plans_in(Plan.State.ISSUED).annotate(expired_on=Subquery(newest))
    return plans.filter(expired_on__lt=on).order_by("expired_on", "patient__name")


@dataclass(frozen=True)
class WithoutProduct:
    plan: Plan
    products: list[Food]


def plans_with_discontinued() -> list[WithoutProduct]:
    """Plans that are fed with something that is no longer bought."""
    lines = Ingredient.objects.filter(food__discontinued=True)
    plans = plans_in(Plan.State.ISSUED).filter(Exists(lines.filter(version=OuterRef("recipe_version"))))
    products = defaultdict(dict)
    fed = lines.filter(version__in=plans.order_by().values("recipe_version"))
    for line in fed.select_related("food").order_by("food__name"):
        products[line.version_id][line.food_id] = line.food
    return [WithoutProduct(plan, list(products[plan.recipe_version_id].values())) for plan in plans]


def new_stages(on: date) -> list[tuple[Patient, NewStage]]:
    """Dogs that came into a new life stage lately or will soon, in the order of the days."""
    found = {}
    for dog, born, adult_kg in (
        Patient.objects.fed().order_by().values_list("pk", "born", "expected_adult_kg")
    ):
        if stage := new_stage(born, adult_kg, on):
            found[dog] = stage
    known = Patient.objects.select_related("owner").in_bulk(list(found))
    ordered = sorted(found.items(), key=lambda each: (each[1].day, known[each[0]].name))
    return [(known[dog], stage) for dog, stage in ordered]
