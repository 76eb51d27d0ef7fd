"""Looking into a correction, and keeping which owner was told."""

from datetime import timedelta

import pytest
from django.utils import timezone

from nutrients.corrections import corrections
from patients.models import Plan, Recall, RecallCall
from patients.recall_queries import (
    Touched,
    TouchedRow,
    calls_of,
    calls_to_make,
    listed_corrections,
    unseen_corrections,
)
from patients.recall_services import dogs_to_call, look_into, record_call
from tests import cast
from tests.patients.recalls import chalks_calcium, issue, make_fed_plan, make_version, weaker_chalk

pytestmark = pytest.mark.django_db


@pytest.fixture
def plan(practitioner):
    return make_fed_plan(make_version(practitioner))


@pytest.fixture
def looked_into(plan, practitioner):
    issue(plan, practitioner)
    return look_into(correction=weaker_chalk(), by=practitioner)


def row(**given) -> TouchedRow:
    return TouchedRow(**({"pk": 1, "label": "", "note": "", "changes": ()} | given))


def test_it_is_kept_as_it_was_worked_out(looked_into, practitioner):
    recall = Recall.objects.get()
    (correction,) = corrections()
    assert (recall.kind, recall.entry, recall.entries) == ("food_value", correction.entry, [correction.entry])
    assert (recall.what, recall.reason, recall.created_by) == (
        "Calcium carbonate powder",
        "misprint",
        practitioner,
    )
    assert (recall.before, recall.after) == (
        {"Calcium in 100 g": correction.steps[0].before}, {"Calcium in 100 g": "8,000 mg"}
    )  # fmt: skip
    assert recall.corrected_at == correction.at
    (plan_row,) = recall.touched["plans"]
    assert plan_row["changes"][0] == {
        "name": "Calcium",
        "before": [{"answer": "meets", "word": "Meets minimum"}],
        "since": [{"answer": "below", "word": "Below minimum"}],
    }


def test_the_dog_is_to_be_called_about_its_sheet(looked_into, plan):
    (call,) = calls_of(looked_into)
    assert (call.patient, call.sheet, call.status) == (plan.patient, plan.sheets.get(), "to_call")
    assert call.is_waiting
    assert len(calls_to_make()) == 1
    assert not unseen_corrections()
    (listed,) = listed_corrections()
    assert (listed.recall, listed.to_call) == (looked_into, 1)


def test_dogs_that_are_fed_by_what_is_touched_are_to_be_called():
    touched = Touched(
        recipes=[row()],
        plans=[row(patient=7, fed=True), row(patient=8, fed=False), row(patient=9, fed=True)],
        sheets=[row(pk=70, patient=7, fed=True), row(pk=60, patient=6, fed=True)],
    )
    assert dogs_to_call(touched) == {7: 70, 9: None, 6: 60}


def test_what_was_said_is_kept_with_who_and_when(looked_into, practitioner):
    call = RecallCall.objects.get()
    call.status, call.note = RecallCall.Status.CALLED, "will come on Friday"
    record_call(call=call, by=practitioner)
    (kept,) = calls_of(looked_into)
    assert (kept.status, kept.note, kept.by) == ("called", "will come on Friday", practitioner)
    assert timezone.now() - kept.at < timedelta(minutes=1)
    assert not kept.is_waiting
    assert len(calls_to_make()) == 0


def test_a_new_sheet_settles_it_by_itself(looked_into, plan, practitioner):
    sheet = issue(plan, practitioner, days_ago=0)
    (call,) = calls_of(looked_into)
    assert call.new_sheet == sheet.pk
    assert call.status == "to_call"
    assert not call.is_waiting
    assert len(calls_to_make()) == 0


def test_a_sheet_of_another_dog_settles_nothing(looked_into, plan, practitioner):
    other = cast.make_patient(cast.make_owner("Ada Thrush"), name="Sorrel")
    cast.make_visit(other)
    issue(cast.make_plan(other, plan.recipe_version), practitioner, days_ago=0)
    assert [call.new_sheet for call in calls_of(looked_into)] == [None]


def test_working_it_out_again_keeps_the_calls(looked_into, plan, practitioner):
    RecallCall.objects.update(status=RecallCall.Status.CALLED, note="told")
    Plan.objects.update(state=Plan.State.ENDED)
    again = look_into(correction=corrections()[0], by=cast.make_user("staff", "sam"))
    assert (again.pk, again.created_by) == (looked_into.pk, practitioner)
    assert [call.note for call in calls_of(again)] == ["told"]


def test_a_dog_that_is_touched_no_more_and_was_not_called_drops_out(looked_into, practitioner):
    value = chalks_calcium()
    correction = corrections()[0]
    value.per_100g = 40_000
    value.save()
    again = look_into(correction=correction, by=practitioner)
    assert calls_of(again) == []
    assert again.touched["sheets"] == []
