"""What a column is taken for."""

import pytest

from patients.bring_in.columns import COLUMNS, problems, propose, unit_in


def test_every_label_is_known_again():
    head = [column.label for column in COLUMNS if "(" not in column.label]
    assert [propose([name], {})[name] for name in head] == [
        column.key for column in COLUMNS if "(" not in column.label
    ]


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("Owner_Name", "owner"),
        ("E-Mail", "email"),
        ("DOB", "born"),
        ("Weight (kg)", "weight"),
        ("weight_lbs", "weight"),
        ("what is wrong", ""),
        ("Insurance", ""),
    ],
)
def test_a_guess(name, key):
    assert propose([name], {}) == {name: key}


def test_no_key_is_guessed_twice_and_the_last_choice_counts_more():
    assert propose(["dog", "name"], {}) == {"dog": "name", "name": ""}
    assert propose(["name", "dog"], {"name": "owner"}) == {"name": "owner", "dog": "name"}


def test_the_unit_in_a_name():
    assert [unit_in(name) for name in ("Weight (kg)", "weight_lbs", "Pounds", "weight")] == [
        "kg",
        "lb",
        "lb",
        "",
    ]


@pytest.mark.parametrize(
    ("chosen", "says"),
    [
        ({"a": "owner", "b": "name"}, None),
        ({"a": "microchip", "b": "date", "c": "weight"}, None),
        ({"a": "name"}, "name of the owner"),
        ({"a": "owner", "b": "name", "c": "name"}, "Two columns are “name of the dog”"),
        ({"a": "owner", "b": "name", "c": "weight"}, "needs both"),
        ({"a": "owner", "b": "name", "c": "date"}, "needs both"),
    ],
)
def test_what_keeps_columns_from_being_of_use(chosen, says):
    found = problems(chosen)
    assert (found == []) if says is None else (len(found) == 1 and says in found[0])
