"""Sentences about a dog, against what a person would write by hand."""

from datetime import date
from types import SimpleNamespace

import pytest

from patients.sentences import describe_change, describe_weights, in_kg, introduce
from patients.weigh_ins import weigh_ins

ON = date(2026, 11, 25)


def make_dog(**particulars):
    defaults = {
        "name": "Juniper", "born": date(2019, 3, 1), "born_is_estimate": False,
        "sex": "female", "neutered": True, "breed": "hound cross",
    }  # fmt: skip
    return SimpleNamespace(**(defaults | particulars))


def test_the_whole_sentence():
    visit = SimpleNamespace(left_out=False, weight_kg=18.4, bcs=7)
    plan = SimpleNamespace(goal="lose", target_kg=15.333, kcal_per_day=640.4, state="issued")
    said = introduce(make_dog(), ON, visit, plan)
    assert said == (
        "Juniper, 7-year-old neutered hound cross, 18.4 kg, BCS 7. Target 15.3 kg, 640 kcal a day."
    )


def test_a_draft_is_not_told_as_the_plan_that_is_fed():
    plan = SimpleNamespace(goal="hold", target_kg=15.3, kcal_per_day=1640.0, state="draft")
    said = introduce(make_dog(), ON, SimpleNamespace(left_out=False, weight_kg=18.4, bcs=7), plan)
    assert said.endswith("Target 15.3 kg, 1,640 kcal a day, still a draft.")


def test_the_weight_of_a_growing_dog_is_no_target():
    plan = SimpleNamespace(goal="grow", target_kg=18.4, kcal_per_day=1640.0, state="issued")
    said = introduce(make_dog(), ON, SimpleNamespace(left_out=False, weight_kg=18.4, bcs=5), plan)
    assert said.endswith("BCS 5. Growing evenly, 1,640 kcal a day.")


def test_what_is_missing_is_said():
    said = introduce(make_dog(neutered=False, born_is_estimate=True), ON)
    assert said == "Juniper, about 7-year-old intact female hound cross, not seen here yet. No plan yet."


def test_a_puppy_is_told_in_weeks():
    puppy = make_dog(born=date(2026, 9, 23), neutered=False, sex="male", breed="water dog")  # 63 days
    visit = SimpleNamespace(left_out=False, weight_kg=4.35, bcs=5)
    assert introduce(puppy, ON, visit).startswith(
        "Juniper, 9-week-old intact male water dog, 4.35 kg, BCS 5."
    )


@pytest.mark.parametrize(
    ("before", "now", "days", "words"),
    [
        (18.8, 18.4, 14, "0.4 kg (2.1 %) less in 14 days"),  # 0.4/18.8 = 2.13 %
        (18.4, 18.8, 1, "0.4 kg (2.2 %) more in 1 day"),  # 0.4/18.4 = 2.17 %
        (18.4, 18.4, 28, "no change in 28 days"),
        (4.0, 4.25, 7, "0.25 kg (6.2 %) more in 7 days"),  # 6.25 %
        (18.4, 18.0, 0, "0.4 kg (2.2 %) less on the same day"),
    ],
)
def test_the_change_since_last_time(before, now, days, words):
    first = date(2026, 11, 1)
    entries = weigh_ins([(first, before), (date(2026, 11, 1 + days), now)])
    assert describe_change(entries[-1]) == words


def test_a_first_weigh_in_has_nothing_to_compare_with():
    assert describe_change(weigh_ins([(ON, 18.4)])[0]) == "first weigh-in"


def test_the_chart_in_words():
    entries = weigh_ins([(date(2026, 11, 25), 18.2), (date(2026, 11, 1), 18.6), (date(2026, 11, 15), 18.9)])
    assert describe_weights(entries) == (
        "3 weigh-ins, from 18.6 kg on 1 November 2026 to 18.2 kg on 25 November 2026; "
        "lowest 18.2 kg, highest 18.9 kg."
    )
    assert describe_weights([]) == "No weigh-in yet."
    assert describe_weights(entries[:1]) == "One weigh-in: 18.6 kg on 1 November 2026."


@pytest.mark.parametrize(
    ("kg", "words"), [(0.45, "0.45 kg"), (4.3, "4.3 kg"), (9.999, "10.0 kg"), (15.333, "15.3 kg")]
)
def test_kilograms(kg, words):
    assert in_kg(kg) == words
