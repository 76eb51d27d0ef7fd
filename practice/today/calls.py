"""What wants a call today: corrections, a loss off its pace, owners who have not come or told, tasks."""

from datetime import date, timedelta

from django.urls import reverse
from django.utils.formats import date_format

from patients.models import Patient, RecallCall, Task
from patients.queries import ListedPatient, listed
from patients.recall_queries import calls_to_make
from patients.sentences import in_kg
from patients.watch_queries import (
    Loss,
    Unweighed,
    rechecks_until,
    tasks_until,
    weigh_ins_missing,
)
from practice.today.waiting import SHOWN_AT_ONCE, Group, Waiting, group, of_dog

SOON_DAYS = 7


def _day(day: date) -> str:
    return date_format(day, "j M Y")


def recall_calls(whole: str) -> Group:
    return group(
        "recalls",
        "Recall calls",
        list(calls_to_make().filter(patient__in=Patient.objects.fed())),
        _recall_call,
        whole,
    )


def _recall_call(call: RecallCall) -> Waiting:
    url = f"{call.recall.get_absolute_url()}#calls"
    why = f"{call.recall.what} was corrected"
    return of_dog(call.patient, why, "Note the call", url, "patients.change_recallcall")


def losing_too_fast(found: list[Loss], whole: str) -> Group:
    fast = [each for each in found if each.pace.too_fast]
    return group("too-fast", "Losing too fast", fast, _loss, whole)


def not_losing(found: list[Loss], whole: str) -> Group:
    still = [each for each in found if each.pace.standing_still]
    return group("not-losing", "On a loss plan, but not losing", still, _loss, whole)


def _loss(found: Loss) -> Waiting:
    patient = found.plan.patient
    url = f"{patient.get_absolute_url()}#weights"
    return of_dog(patient, found.pace.words, "See its weights", url, "patients.view_patient")


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

    shown = listed(due if whole == key else due[:SHOWN_AT_ONCE])
    return group(key, title, shown, row, whole, due.count())


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


def _unweighed(found: Unweighed) -> Waiting:
    patient = found.plan.patient
    url = reverse("patients:home-weigh-ins-new", args=[patient.pk])
    last = f"last weighed on {_day(found.last)}, " if found.last else "never weighed, plan begun "
    aim = found.plan.get_goal_display()
    why = f"{last}{found.days} days ago; {aim}"
    return of_dog(patient, why, "Enter weigh-ins", url, "patients.add_homeweighin")


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

    return group("tasks", "Tasks due", list(tasks_until(on)), row, whole)
