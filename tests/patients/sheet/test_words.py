"""The words of a sheet."""

import pytest

from patients.sheet.words import bowl_amount, bowl_share, counted
from patients.timing import Dose


@pytest.mark.parametrize(
    ("amount", "unit", "words"),
    [
        (7.3, "g", "7.3 g"),
        (1, "ml", "1 ml"),
        (0.5, "tablet", "½ tablet"),
        (1, "tablet", "1 tablet"),
        (1.75, "tablet", "1¾ tablets"),
        (2, "capsule", "2 capsules"),
        (1, "drop", "1 drop"),
        (27, "drop", "27 drops"),
    ],
)
def test_an_amount_with_its_unit(amount, unit, words):
    assert counted(amount, unit) == words


def dose(**particulars) -> Dose:
    sound = {
        "food": "Thiamine", "when": "in_the_bowl", "why": "", "batch_amount": 4.0, "day_amount": 1.0,
        "meal_amount": 0.5, "meals": 2, "every_days": 1, "on_days": (1, 2, 3, 4), "dose_unit": "tablet",
        "grams_per_batch": 0.8, "heat": "sensitive", "exact_g": 0.8,
    }  # fmt: skip
    return Dose(**(sound | particulars))


def test_a_daily_dose_is_shared_among_the_meals():
    assert bowl_amount(dose()) == "1 tablet a day"
    assert bowl_share(dose()) == "½ tablet in each of 2 meals"
    assert bowl_share(dose(meals=1, meal_amount=1.0)) == "all in one meal"


def test_a_rare_dose_names_its_days():
    rare = dose(day_amount=0.25, every_days=3, on_days=(1, 4))
    assert bowl_amount(rare) == "¼ tablet on day 1 and 4 of the batch"
    assert bowl_amount(dose(every_days=7, on_days=(1,))) == "1 tablet on day 1 of the batch"
