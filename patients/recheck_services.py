"""Writes of a re-check, and the next plan that follows from it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from math import floor

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.formats import date_format

from patients.intake import record_visit
from patients.models import DietItem, HomeWeighIn, Patient, Plan, TabletCount, Visit
from patients.recheck_queries import RecheckAnswer, answer_of
from patients.services import draft_of, work_out
from patients.workings import Workings

BELOW, MEETS, UNSURE = "below", "meets", "cannot_confirm"


@transaction.atomic
def record_recheck(
    *,
    visit: Visit,
    diet_items: Iterable[DietItem],
    next_recheck: date | None,
    home_weigh_ins: Iterable[HomeWeighIn] = (),
    tablet_counts: Iterable[TabletCount] = (),
) -> Visit:
    """Save a new visit with what the owner brought to it, and the day of the next one."""
    if visit.patient.why_not_fed:
        raise ValidationError(visit.patient.why_not_fed)
    amend_recheck(visit=visit, diet_items=diet_items, tablet_counts=tablet_counts)
    record_home_weigh_ins(weigh_ins=home_weigh_ins)
    visit.patient.next_recheck = next_recheck
    visit.patient.full_clean()
    visit.patient.save()
    return visit


@transaction.atomic
def amend_recheck(
    *, visit: Visit, diet_items: Iterable[DietItem], tablet_counts: Iterable[TabletCount] = ()
) -> Visit:
    """Save a visit; its diet and its counts of tablets are replaced by the given ones."""
    record_visit(visit=visit, diet_items=diet_items)
    visit.tablet_counts.all().delete()
    for count in tablet_counts:
        count.visit = visit
        count.full_clean()
        count.save()
    return visit


@transaction.atomic
def record_home_weigh_ins(*, weigh_ins: Iterable[HomeWeighIn]) -> int:
    """Save them all, or none when one is not in order; returns how many there were."""
    saved = list(weigh_ins)
    for weigh_in in saved:
        weigh_in.full_clean()
        weigh_in.save()
    return len(saved)


@dataclass(frozen=True)
class Following:
    """The plan that would follow, and what that does to nutrients: names of those that fall below minimum
    with it, those that can then not be confirmed, and those below minimum already.
    """

    plan: Plan
    falling: tuple[str, ...]
    unsure: tuple[str, ...]
    already: tuple[str, ...]
    problems: tuple[str, ...]


def following(visit: Visit, answer: RecheckAnswer) -> Following | None:
    """What the suggestion makes of the plan that is fed; None when it changes nothing. Nothing is written."""
    if not answer.can_change:
        return None
    plan = _next_draft(visit, answer)
    present, then = work_out(answer.plan), work_out(plan)
    now, later = _minima(present), _minima(then)
    return Following(
        plan=plan,
        falling=tuple(name for name, said in later.items() if said == BELOW and now.get(name) != BELOW),
        unsure=tuple(name for name, said in later.items() if said == UNSURE and now.get(name) == MEETS),
        already=tuple(name for name, said in later.items() if said == BELOW and now.get(name) == BELOW),
        problems=tuple(sentence for _, sentence in then.problems),
    )


def _minima(workings: Workings) -> dict[str, str]:
    """Nutrient -> the answer for its minimum, at this dog's intake."""
    if workings.batch is None:
        return {}
    judged = workings.batch.strictest
    return dict(zip(judged["name"], judged["minimum_answer"], strict=True))


def _next_draft(visit: Visit, answer: RecheckAnswer) -> Plan:
    """An unsaved draft that takes over from the plan that is fed, with its energy changed as suggested."""
    plan = draft_of(Plan.objects.get(pk=answer.plan.pk))
    before, factor = plan.kcal_per_day, answer.suggestion.factor
    seen = date_format(visit.date, "j F Y")
    plan.kcal_per_day = round(before * factor)
    plan.extras_kcal = floor(plan.extras_kcal * factor)  # down: extras stay within a tenth of the day
    plan.method = f"{answer.suggestion.words} than {before:,.0f} kcal, after the re-check of {seen}"
    plan.factor = None
    plan.note = plan.energy_reason = " ".join(answer.suggestion.reasons)[:300]
    return plan


@transaction.atomic
def make_next_plan(*, visit: Visit) -> Plan:
    """The draft that follows from a re-check's suggestion; asked for again, the same one.

    Raises ValidationError when nothing follows from it or the plan would not be in order.
    """
    Patient.objects.select_for_update().get(pk=visit.patient_id)
    then = following(visit, answer_of(visit))
    if then is None:
        raise ValidationError("No next plan follows from this re-check: make one by hand.")
    if then.problems:
        raise ValidationError(list(then.problems))
    made = Plan.objects.filter(
        supersedes=then.plan.supersedes, state=Plan.State.DRAFT, method=then.plan.method
    )
    if draft := made.first():
        return draft
    then.plan.full_clean()
    then.plan.save()
    return then.plan
