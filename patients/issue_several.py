"""Which plans can be issued together: those that wait for a sheet and ask nothing of anybody."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from patients.models import Plan
from patients.queries import sheets_of
from patients.services import gate_of, work_out
from patients.watch_queries import expired_sheets, plans_without_sheet

MOST_AT_ONCE = 100


@dataclass(frozen=True)
class Candidate:
    """why_not: what has to be looked at on the plan's own page first, or empty. is_anew: it has a sheet."""

    plan: Plan
    why_not: str
    is_anew: bool


def candidates(on: date, practice) -> list[Candidate]:
    """Plans without a sheet that is in use, at most MOST_AT_ONCE, by the dog's name."""
    waiting = {plan.pk: plan for plan in (*plans_without_sheet(), *expired_sheets(on))}
    plans = sorted(waiting.values(), key=lambda plan: (plan.patient.name, plan.pk))
    return [_candidate(plan, practice) for plan in plans[:MOST_AT_ONCE]]


def ready(found: Iterable[Candidate]) -> list[Candidate]:
    return [candidate for candidate in found if not candidate.why_not]


def _candidate(plan: Plan, practice) -> Candidate:
    gate = gate_of(plan, work_out(plan), practice)
    why_not = ""
    if gate.refusals:
        why_not = "something stops it"
    elif gate.needs_tick:
        why_not = "something is to be accepted or agreed"
    return Candidate(plan, why_not, sheets_of(plan.patient).exists())
