"""Foods side by side: what each amount is of the first food's, the bars, and what is not known."""

import math
from types import SimpleNamespace

import pandas as pd
import pytest

from nutrients.food_amounts import Measured
from nutrients.food_comparison import compared, times, unknown_in

FOODS = ["Moon hare", "Star carp", "Sun oats"]
TABLE = pd.DataFrame(
    {"zinc": [2.0, 4.8, math.nan], "iron": [0.0, 0.0, 3.0], "protein": [20.0, 10.0, 0.0]}, index=FOODS
)
NUTRIENTS = [
    SimpleNamespace(key="protein", name="Protein", group="Protein", unit="g", decimals=1),
    SimpleNamespace(key="zinc", name="Zinc", group="Minerals", unit="mg", decimals=2),
    SimpleNamespace(key="iron", name="Iron", group="Minerals", unit="mg", decimals=2),
]


def rows(per="100g", guessed=()):
    return {row.name: row for _, lines in compared(NUTRIENTS, TABLE, per, set(guessed)) for row in lines}


def test_nutrients_stand_under_their_groups():
    groups = compared(NUTRIENTS, TABLE, "100g", set())
    assert [(group, [row.name for row in lines]) for group, lines in groups] == [
        ("Protein", ["Protein"]),
        ("Minerals", ["Zinc", "Iron"]),
    ]


def test_each_amount_is_said_as_times_the_first():
    assert [cell.times for cell in rows()["Zinc"].cells] == ["", "2.4 x", ""]  # 4.8 / 2.0
    assert [cell.times for cell in rows()["Protein"].cells] == ["", "0.5 x", "none"]
    assert [cell.times for cell in rows()["Iron"].cells] == ["", "none in both", "none in the first"]


def test_on_another_basis_the_amounts_change_before_they_are_compared():
    cells = rows("protein")["Zinc"].cells  # 2.0 / 20 = 0.1 and 4.8 / 10 = 0.48
    assert [cell.measured.amount for cell in cells[:2]] == pytest.approx([0.1, 0.48])
    assert cells[1].times == "4.8 x"
    assert cells[2].measured.why == "unknown"
    assert rows("protein")["Iron"].cells[2].measured.why == "no protein"


def test_the_longest_bar_is_the_largest_amount_of_the_row():
    assert [cell.bar for cell in rows()["Zinc"].cells] == pytest.approx([100 * 2 / 4.8, 100, 0])
    assert [cell.bar for cell in rows()["Iron"].cells] == pytest.approx([0, 0, 100])


def test_what_is_unknown_is_named_by_food_and_is_no_zero():
    assert rows()["Zinc"].cells[2].measured.amount is None
    found = unknown_in(compared(NUTRIENTS, TABLE, "100g", set()), FOODS)
    assert found == {"Moon hare": [], "Star carp": [], "Sun oats": ["Zinc"]}


def test_an_estimate_is_marked():
    cells = rows(guessed=[("Star carp", "zinc")])["Zinc"].cells
    assert [cell.measured.estimated for cell in cells] == [False, True, False]


@pytest.mark.parametrize(
    ("amount", "words"),
    [
        (100, "about the same"),
        (104, "about the same"),
        (96, "about the same"),
        (106, "1.1 x"),
        (240, "2.4 x"),
        (1000, "10 x"),
        (123_400, "1,234 x"),
        (42, "0.42 x"),
        (1, "0.01 x"),
        (0.5, "less than 0.01 x"),
        (0, "none"),
        (None, ""),
    ],
)
def test_times_in_words(amount, words):
    assert times(Measured(amount, "", False), Measured(100, "", False)) == words


def test_nothing_is_times_the_unknown():
    assert times(Measured(3, "", False), Measured(None, "unknown", False)) == ""
