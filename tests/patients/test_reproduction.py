"""Weeks of pregnancy and nursing, counted by hand on the calendar; 63 days is common practice, no source."""

from datetime import date, timedelta

import pytest

from patients.reproduction import (
    condition_problem,
    gestation_week,
    nursing_week,
    reproduction_problems,
    tells_breeding,
)
from tests.patients.dogs import Record

MATED = date(2026, 3, 1)
WHELPED = date(2026, 5, 3)  # 63 days later
TODAY = date(2026, 6, 1)


@pytest.mark.parametrize(
    ("days", "week"),
    [(-1, None), (0, 1), (6, 1), (7, 2), (27, 4), (28, 5), (62, 9), (63, 9), (69, 9), (70, None)],
)
def test_the_week_of_pregnancy_is_counted_from_mating_and_ends_a_week_after_term(days, week):
    assert gestation_week(MATED, None, MATED + timedelta(days=days)) == week


def test_whelping_ends_a_pregnancy_from_its_day_on():
    assert gestation_week(MATED, WHELPED, WHELPED - timedelta(days=1)) == 9
    assert gestation_week(MATED, WHELPED, WHELPED) is None


def test_an_earlier_litter_does_not_end_a_new_pregnancy():
    assert gestation_week(MATED, MATED - timedelta(days=200), MATED + timedelta(days=10)) == 2


@pytest.mark.parametrize(
    ("days", "puppies", "week"),
    [(-1, 4, None), (0, 4, 1), (20, 4, 3), (21, None, 4), (55, 4, 8), (56, 4, None), (10, 0, None)],
)
def test_the_week_of_nursing_ends_with_weaning(days, puppies, week):
    assert nursing_week(WHELPED, puppies, WHELPED + timedelta(days=days)) == week


@pytest.mark.parametrize(
    ("record", "field", "words"),
    [
        ({"sex": "male", "mated_on": MATED}, "mated_on", "on record as male"),
        ({"sex": "male", "litter": 0}, "litter", "on record as male"),
        ({"neutered": True, "mated_on": date(2026, 5, 1)}, "mated_on", "neutered"),
        ({"mated_on": date(2026, 6, 2)}, "mated_on", "future"),
        ({"whelped_on": date(2026, 6, 2)}, "whelped_on", "future"),
        ({"mated_on": date(2022, 5, 30)}, "mated_on", "not five months"),  # 149 days after 1 January 2022
        ({"mated_on": MATED, "whelped_on": date(2026, 4, 24)}, "whelped_on", "That is 54 days"),
        ({"mated_on": MATED, "whelped_on": date(2026, 5, 16)}, "whelped_on", "That is 76 days"),
        (
            {"mated_on": date(2026, 5, 20), "whelped_on": WHELPED},
            "mated_on",
            "That is 17 days after the whelping",
        ),
        ({"litter": 5}, "whelped_on", "day of whelping"),
        ({"whelped_on": WHELPED, "litter": 25}, "litter", "at most 24"),
    ],
)
def test_what_cannot_be_is_told_at_its_field(record, field, words):
    ((found, sentence),) = reproduction_problems(Record(**record), TODAY)
    assert found == field
    assert words in sentence


@pytest.mark.parametrize(
    "record",
    [
        {},
        {"mated_on": date(2026, 5, 1)},
        {"mated_on": MATED, "whelped_on": WHELPED, "litter": 24},
        {"mated_on": date(2022, 5, 31)},  # 150 days
        {"neutered": True, "mated_on": MATED, "whelped_on": WHELPED, "litter": 4},  # neutered since
        {"neutered": True, "mated_on": date(2025, 3, 1)},  # long over
        {
            "mated_on": date(2026, 6, 1),
            "whelped_on": date(2026, 4, 20),
            "litter": 4,
        },  # 42 days, while nursing
        {"mated_on": date(2026, 5, 31), "whelped_on": date(2025, 6, 1)},  # a year after the last litter
    ],
)
def test_what_can_be_is_let_be(record):
    assert reproduction_problems(Record(**record), TODAY) == []


@pytest.mark.parametrize(
    ("condition", "told"),
    [("pregnant", True), ("Lactation, week 2", True), ("nursing six puppies", True),
     ("pseudopregnancy", False),
     ("False pregnancy with lactation", False), ("not pregnant (scan)", False), ("arthritis", False)],
)  # fmt: skip
def test_a_false_pregnancy_is_none(condition, told):
    assert tells_breeding(condition) is told


def test_a_condition_that_cannot_be_is_told():
    tansy = {"name": "Tansy", "sex": "female", "neutered": True}
    assert "cannot be pregnant" in condition_problem("pregnant", **tansy)
    assert not condition_problem("nursing", **tansy)  # neutered since
    assert not condition_problem("pseudopregnancy", **tansy)
    assert "as male" in condition_problem("lactating", **(tansy | {"sex": "male", "neutered": False}))
