"""Ages and life stages, worked out by hand on the calendar."""

from datetime import date

import pytest

from patients.life_stage import age_in_months, age_in_words, is_large_breed, life_stage

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
