"""Amounts typed in weights, doses and household measures, in grams."""

import pytest

from recipes.weighing import Scale, household_measures

# USDA SR Legacy, NDB 20006: 1 cup of cooked pearled barley weighs 157 g
BARLEY = Scale("Pearled barley, cooked", {"cup": 157.0})
TABLET = Scale("Zinc tablet", {}, "tablet", 0.4)
POWDER = Scale("Calcium carbonate powder", {}, "g", 1.0)


@pytest.mark.parametrize(
    ("scale", "amount", "unit", "grams"),
    [
        (BARLEY, 120, "g", 120),
        (BARLEY, 1.2, "kg", 1200),
        (BARLEY, 2, "lb", 907.18474),  # 1 lb = 453.59237 g (NIST SP 811)
        (BARLEY, 1.5, "cup", 235.5),
        (TABLET, 2.5, "doses", 1.0),
    ],
)
def test_every_unit_becomes_grams(scale, amount, unit, grams):
    assert scale.grams(amount, unit) == pytest.approx(grams, rel=1e-9)


@pytest.mark.parametrize(
    ("scale", "unit", "said"),
    [
        (BARLEY, "tbsp", "No “tbsp” is known of Pearled barley, cooked"),
        (BARLEY, "doses", "Only supplements have doses"),
        (BARLEY, "", "Of what?"),
        (TABLET, "cup", "No “cup” is known"),
    ],
)
def test_a_unit_that_a_food_lacks_is_refused_and_never_read_as_another(scale, unit, said):
    with pytest.raises(ValueError, match=said):
        scale.grams(1, unit)


def test_a_food_offers_its_own_measures_only():
    assert [unit for unit, _ in BARLEY.units] == ["g", "kg", "oz", "lb", "cup"]
    assert dict(TABLET.units)["doses"] == "doses (tablet)"
    assert "doses" not in dict(POWDER.units)  # a dose of it is a gram
    assert "doses" in dict(Scale().units)  # a food still to be typed


def test_weights_and_servings_are_no_household_measures():
    stated = [
        ("oz", 4, 113),
        ("cup, chopped", 1, 140),
        ("unit (yield from 1 lb)", 1, 57),
        ("NLEA serving", 1, 85),
    ]
    assert household_measures(stated) == {"cup, chopped": 140}


def test_of_two_under_one_label_the_one_nearer_to_a_piece_stands():
    assert household_measures([("cup", 0.5, 124), ("cup", 1, 246)]) == {"cup": 246}
    assert household_measures([("breast", 0.5, 86)]) == {"breast": 172}
