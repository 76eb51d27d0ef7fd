"""Ages and life stages, worked out by hand on the calendar."""

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patients.life_stage import (
    LARGE_BREED_KG,
    STAGES,
    age_in_months,
    age_in_words,
    is_large_breed,
    life_stage,
    stage_on,
    stage_problems,
)
from tests.patients.dogs import Record

BORN = date(2024, 1, 31)


@pytest.mark.parametrize(
    ("on", "months"),
    [
        (date(2024, 1, 31), 0),
        (date(2024, 2, 29), 0),  # the month is not whole before the 31st
        (date(2024, 3, 31), 2),
        (date(2025, 1, 30), 11),
        (date(2025, 1, 31), 12),
    ],
)
def test_age_in_whole_months(on, months):
    assert age_in_months(BORN, on) == months


def test_a_day_before_the_birth_is_refused():
    with pytest.raises(ValueError, match="check both dates"):
        age_in_months(BORN, date(2024, 1, 30))


@pytest.mark.parametrize(
    ("born", "on", "words"),
    [
        (date(2026, 1, 1), date(2026, 1, 8), "1 week"),
        (date(2026, 1, 1), date(2026, 4, 22), "15 weeks"),  # 111 days
        (date(2026, 1, 1), date(2026, 4, 23), "3 months"),  # 112 days = 16 weeks
        (date(2024, 5, 1), date(2026, 4, 30), "23 months"),
        (date(2024, 5, 1), date(2026, 5, 1), "2 years"),
        (date(2019, 5, 1), date(2026, 4, 30), "6 years"),
    ],
)
def test_the_age_is_said_as_people_say_it(born, on, words):
    assert age_in_words(born, on) == words


def test_an_estimated_age_says_so():
    assert age_in_words(date(2019, 5, 1), date(2026, 5, 1), is_estimate=True) == "about 7 years"


@pytest.mark.parametrize(
    ("born", "adult_kg", "label", "profile"),
    [
        # 97 days and 98 days (14 weeks) before 1 July 2026
        (date(2026, 3, 26), 12.0, "puppy under 14 weeks", "aafco-growth"),
        (date(2026, 3, 25), 12.0, "growing, from 14 weeks to adult", "aafco-growth"),
        (date(2026, 3, 26), 40.0, "puppy under 14 weeks, large breed", "aafco-growth-large"),
        (date(2026, 3, 25), 31.8, "growing, from 14 weeks to adult, large breed", "aafco-growth-large"),
        (date(2026, 3, 25), 31.7, "growing, from 14 weeks to adult", "aafco-growth"),
        (
            date(2026, 3, 25), None,
            "growing, from 14 weeks to adult, judged as a large breed: adult weight unknown",
            "aafco-growth-large",
        ),
        (date(2025, 7, 1), 12.0, "adult", "aafco-adult"),  # 12 months
        (date(2025, 7, 2), 12.0, "growing, from 14 weeks to adult", "aafco-growth"),
        (date(2025, 7, 1), 40.0, "growing, from 14 weeks to adult, large breed", "aafco-growth-large"),
        (date(2025, 1, 1), 40.0, "adult", "aafco-adult"),  # 18 months
        (date(2025, 1, 1), 60.0, "growing, from 14 weeks to adult, large breed", "aafco-growth-large"),
        (date(2024, 7, 1), 60.0, "adult", "aafco-adult"),  # 24 months
        (date(2025, 1, 1), None, "adult", "aafco-adult"),
        (date(2018, 7, 2), None, "adult", "aafco-adult"),  # 7 years
        (date(2018, 7, 1), None, "senior", "aafco-adult"),  # 8 years
    ],
)  # fmt: skip
def test_life_stage(born, adult_kg, label, profile):
    stage = life_stage(born, date(2026, 7, 1), adult_kg)
    assert (stage.label, stage.profile_key) == (label, profile)
    assert stage.growing == ("growth" in profile)
    assert stage.energy_stage == ("puppy" if stage.growing else "adult")


def test_seventy_pounds_is_a_large_breed():
    # 70 lb x 0.45359237 kg = 31.75 kg; AAFCO prints 31.8 kg
    assert is_large_breed(31.8)
    assert is_large_breed(None)
    assert not is_large_breed(31.7)


TODAY = date(2026, 7, 1)


@pytest.mark.parametrize(
    ("record", "label", "profile", "energy_stage"),
    [
        # 1 July is day 30 after 1 June: week 5; day 30 after whelping likewise.
        ({"mated_on": date(2026, 6, 1)}, "pregnant, week 5", "aafco-growth", "gestation"),
        (
            {"whelped_on": date(2026, 6, 1), "litter": 1},
            "nursing, week 5, 1 puppy", "aafco-growth", "lactation",
        ),
        (
            {"whelped_on": date(2026, 6, 20)},
            "nursing, week 2, puppies not counted", "aafco-growth", "lactation",
        ),
        (
            {"mated_on": date(2026, 6, 25), "whelped_on": date(2026, 6, 1), "litter": 3},
            "nursing, week 5, 3 puppies", "aafco-growth", "lactation",
        ),
        ({"whelped_on": date(2026, 6, 1), "litter": 0}, "adult", "aafco-adult", "adult"),
        ({"mated_on": date(2026, 4, 1)}, "adult", "aafco-adult", "adult"),  # 91 days: long past term
        (
            {"born": date(2025, 9, 1), "mated_on": date(2026, 6, 1)},  # ten months, adult weight unknown
            "pregnant, week 5, still growing herself", "aafco-growth-large", "gestation",
        ),
        ({"stage_by_hand": "pregnant", "stage_reason": "scan"}, "pregnant, week unknown", "aafco-growth",
         "gestation"),
        ({"stage_by_hand": "working", "stage_reason": "sheep"}, "working adult", "aafco-adult", "working"),
        ({"stage_by_hand": "senior", "stage_reason": "frail"}, "senior", "aafco-adult", "adult"),
        ({"stage_by_hand": "adult", "stage_reason": "x", "born": date(2025, 12, 1)}, "adult", "aafco-adult",
         "adult"),
        (
            {"stage_by_hand": "large", "stage_reason": "x", "expected_adult_kg": 20.0},
            "growing, from 14 weeks to adult, large breed", "aafco-growth-large", "puppy",
        ),
        (
            {"stage_by_hand": "early", "stage_reason": "x", "expected_adult_kg": 20.0},
            "puppy under 14 weeks", "aafco-growth", "puppy",
        ),
    ],
)  # fmt: skip
def test_the_stage_follows_from_dates_or_is_set_by_hand(record, label, profile, energy_stage):
    stage = stage_on(Record(**record), TODAY)
    assert (stage.label, stage.profile_key, stage.energy_stage) == (label, profile, energy_stage)
    assert stage.by_hand == record.get("stage_reason", "")


@pytest.mark.parametrize(
    ("record", "field", "words"),
    [
        ({"stage_by_hand": "working"}, "stage_reason", "Say why"),
        ({"stage_by_hand": "working", "stage_reason": "  "}, "stage_reason", "Say why"),
        ({"stage_by_hand": "adult", "born": date(2026, 1, 2)}, "stage_by_hand", "still grows"),  # 5 months
        ({"stage_by_hand": "late", "born": date(2023, 7, 1)}, "stage_by_hand", "is grown"),  # 36 months
        ({"stage_by_hand": "nursing", "sex": "male"}, "stage_by_hand", "male"),
        ({"stage_by_hand": "pregnant", "neutered": True}, "stage_by_hand", "neutered"),
        ({"stage_by_hand": "adult", "mated_on": date(2026, 6, 1)}, "stage_by_hand", "clear them first"),
    ],
)
def test_a_stage_by_hand_that_cannot_be(record, field, words):
    record = record if field == "stage_reason" else record | {"stage_reason": "seen"}
    ((found, sentence),) = stage_problems(Record(**record), TODAY)
    assert found == field
    assert words in sentence


@pytest.mark.parametrize(
    "record",
    [
        {},
        {"stage_by_hand": "adult", "born": date(2026, 1, 1)},  # six months
        {"stage_by_hand": "late", "born": date(2023, 7, 2)},
        {"stage_by_hand": "nursing", "neutered": True},
        {"stage_by_hand": "pregnant", "mated_on": date(2026, 6, 1)},
    ],
)
def test_a_stage_by_hand_that_can_be(record):
    assert stage_problems(Record(**record, stage_reason="seen"), TODAY) == []


PAST = st.dates(date(1996, 7, 2), TODAY)
RECORDS = st.builds(
    Record,
    born=PAST,
    sex=st.sampled_from(["female", "male"]),
    neutered=st.booleans(),
    expected_adult_kg=st.none() | st.floats(0.5, 120),
    mated_on=st.none() | PAST,
    whelped_on=st.none() | PAST,
    litter=st.none() | st.integers(0, 30),
    stage_by_hand=st.sampled_from(["", *STAGES]),
    stage_reason=st.sampled_from(["", "seen"]),
)


@given(RECORDS)
@settings(max_examples=400)
def test_every_dog_has_a_life_stage(record):
    stage = stage_on(record, TODAY)
    assert stage.label
    assert stage.energy_stage in ("adult", "working", "puppy", "gestation", "lactation")
    assert stage.growing == (stage.energy_stage == "puppy")
    # Whoever grows, is pregnant or nurses is never judged as an adult, and nobody else as one of those.
    assert (stage.growing or stage.breeding) == ("growth" in stage.profile_key)
    assert bool(stage.by_hand) == bool(record.stage_by_hand)


@given(st.dates(date(2025, 1, 1), TODAY), st.none() | st.floats(LARGE_BREED_KG, 120))
def test_who_grows_large_or_unknown_is_judged_as_a_large_breed(born, adult_kg):
    stage = stage_on(Record(born=born, expected_adult_kg=adult_kg), TODAY)
    assert stage.profile_key == ("aafco-growth-large" if stage.growing else "aafco-adult")
