"""What wants a call today: corrections, a loss off its pace, owners who have not come or told, tasks."""

from datetime import date, timedelta

from django.urls import reverse
from django.utils.formats import date_format

from patients.models import RecallCall, Task
from patients.queries import ListedPatient, listed
from patients.recall_queries import calls_to_make
from patients.sentences import in_kg
from patients.watch_queries import (
    Loss,
    Unweighed,
    plans_by_key,
    rechecks_until,
    tasks_until,
    weigh_ins_missing,
)
from practice.today.waiting import Group, Waiting, each, group, of_dog

SOON_DAYS = 7


def _day(day: date) -> str:
    return date_format(day, "j M Y")


def recall_calls(whole: str) -> Group:
    return group("recalls", "Recall calls", calls_to_make(), each(_recall_call), whole)


def _recall_call(call: RecallCall) -> Waiting:
    url = f"{call.recall.get_absolute_url()}#calls"
    why = f"{call.recall.what} was corrected"
    return of_dog(call.patient, why, "Note the call", url, "patients.change_recallcall")


def losing_too_fast(found: list[Loss], whole: str) -> Group:
    fast = sorted((loss for loss in found if loss.pace.too_fast), key=lambda loss: loss.pace.rate)
    return group("too-fast", "Losing too fast", fast, _losses, whole)


def not_losing(found: list[Loss], whole: str) -> Group:
    still = sorted((loss for loss in found if loss.pace.standing_still), key=lambda loss: -loss.pace.rate)
    return group("not-losing", "On a loss plan, but not losing", still, _losses, whole)


def _losses(shown: list[Loss]) -> list[Waiting]:
    plans = plans_by_key(loss.plan for loss in shown)

    def row(loss: Loss) -> Waiting:
        patient = plans[loss.plan].patient
        url = f"{patient.get_absolute_url()}#weights"
        return of_dog(patient, loss.pace.words, "See its weights", url, "patients.view_patient")

    return [row(loss) for loss in shown]


def overdue(on: date, whole: str) -> Group:
    return _rechecks("overdue", "Re-checks overdue", rechecks_until(on - timedelta(days=1)), on, whole)


def due_soon(on: date, whole: str) -> Group:
    last = on + timedelta(days=SOON_DAYS)
    due = rechecks_until(last).filter(next_recheck__gte=on)
    return _rechecks("due", "Re-checks due within a week", due, on, whole)


def _rechecks(key: str, title: str, due, on: date, whole: str) -> Group:
    def row(found: ListedPatient) -> Waiting:
        url = reverse("patients:visit-new", args=[found.patient.pk])
        why = f"{_due(found.patient.next_recheck, on)}; {_last_weight(found)}"
        return of_dog(found.patient, why, "Record visit", url, "patients.add_visit")

    return group(key, title, due, lambda shown: [row(found) for found in listed(shown)], whole)


def _due(day: date, on: date) -> str:
    if day < on:
        return f"overdue since {_day(day)}"
    return "today" if day == on else date_format(day, "D j M")


def _last_weight(found: ListedPatient) -> str:
    visit = found.visit
    if visit is None:
        return "not weighed yet"
    return f"{in_kg(visit.weight_kg)}, BCS {visit.bcs} on {_day(visit.date)}"


def missing_weigh_ins(on: date, whole: str) -> Group:
    return group("weigh-ins", "Weigh-ins not received", weigh_ins_missing(on), _unweighed, whole)


def _unweighed(shown: list[Unweighed]) -> list[Waiting]:
    plans = plans_by_key(found.plan for found in shown)

    def row(found: Unweighed) -> Waiting:
        plan = plans[found.plan]
        url = reverse("patients:home-weigh-ins-new", args=[plan.patient_id])
        last = f"last weighed on {_day(found.last)}," if found.last else "never weighed, plan begun"
        why = f"{last} {found.days} days ago; {plan.get_goal_display()}"
        return of_dog(plan.patient, why, "Enter weigh-ins", url, "patients.add_homeweighin")

    return [row(found) for found in shown]


def due_tasks(on: date, whole: str) -> Group:
    def row(task: Task) -> Waiting:
        when = "due today" if task.due == on else f"due since {_day(task.due)}"
        owner = task.owner
        about = f"{owner.name} ({task.patient.name})" if task.patient else owner.name
        return Waiting(
            name=about,
            url=reverse("patients:owner-detail", args=[owner.pk]),
            why=f"{task.text}; {when}",
            action="Done",
            action_url=reverse("patients:task-done", args=[task.pk]),
            permission="patients.change_task",
            whom=owner.phone,
            to_post={"done": "yes", "back": reverse("practice:today")},
        )

    return group("tasks", "Tasks due", tasks_until(on), each(row), whole)
