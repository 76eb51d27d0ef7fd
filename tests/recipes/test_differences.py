"""Two judgements side by side: what is told, in which words, and what counts as an equal swap."""

import math

import pytest

from recipes.differences import (
    ANSWERS_KEPT,
    NEAR_EQUAL,
    NOT_EQUAL,
    UNCONFIRMED,
    Difference,
    Differences,
    differences,
)
from tests.recipes.swapping import RECIPE, limit, portion, setting


def judged(*portions, limits=()):
    return setting(*limits).judged(list(portions))


BEFORE = judged(*RECIPE)  # 1040 kcal: zinc 20 / 1.04 = 19.23 mg, copper 2 / 1.04 = 1.92 mg per 1000 kcal
MEAT, LIVER, TABLET = RECIPE


def said(*portions):
    return [each.sentence for each in differences(BEFORE, judged(*portions)).all]


def test_nothing_to_tell_of_the_same_recipe():
    found = differences(BEFORE, BEFORE)
    assert (found.all, found.distance, found.verdict) == ((), 0.0, NEAR_EQUAL)


def test_what_falls_below_its_minimum_is_told_with_the_amounts():
    # Pale liver brings 0.2 mg copper in 20 g: 0.2 / 1.04 = 0.19 mg per 1000 kcal, of 1.5.
    [told] = said(MEAT, portion("pale liver", 20), TABLET)
    assert told == "Copper falls below minimum: 0.19 of 1.50 mg per 1000 kcal"


def test_what_rises_above_its_maximum_names_the_kind():
    above = said(MEAT, portion("liver", 80), TABLET)  # 8 mg in 1160 kcal: 6.90
    assert above == ["Copper rises above maximum (safe upper): 6.90 of 6.00 mg per 1000 kcal"]


def test_what_cannot_be_confirmed_any_more_names_the_food():
    told = said(portion("fowl", 250), LIVER, TABLET)
    assert told == ["Copper cannot be confirmed: no value in fowl"]


def test_what_was_below_and_is_met_now_is_told_after_what_is_worse():
    before = judged(MEAT, TABLET)  # no copper
    found = differences(before, judged(MEAT, portion("liver", 20), portion("zinc tablet", 0.1)))
    assert [each.kind for each in found.all] == ["below", "closed"]
    assert found.all[1].sentence == "Copper meets its minimum now: 1.92 of 1.50 mg per 1000 kcal"


def test_what_was_below_and_falls_further_is_told_too():
    # 20 g of pale liver: 0.19 mg copper; 10 g: 0.1 mg in 1020 kcal, 0.10.
    before = judged(MEAT, portion("pale liver", 20), TABLET)
    found = differences(before, judged(MEAT, portion("pale liver", 10), TABLET))
    [told] = found.newly_off
    assert told.sentence == "Copper falls further below minimum: 0.10 of 1.50 mg per 1000 kcal"
    assert differences(before, before).all == ()


def test_what_was_above_and_rises_further_is_told_too():
    # 8 mg in 1160 kcal, then 12 mg in 1240 kcal: 9.68.
    before = judged(MEAT, portion("liver", 80), TABLET)
    found = differences(before, judged(MEAT, portion("liver", 120), TABLET))
    assert "Copper rises further above maximum: 9.68 of 6.00 mg per 1000 kcal" in [
        each.sentence for each in found.newly_off
    ]


def test_of_what_cannot_be_confirmed_the_critical_keeps_a_swap_from_approval():
    selenium, copper = (
        Difference(name.lower(), name, "Minerals", UNCONFIRMED, f"{name} cannot be confirmed")
        for name in ("Selenium", "Copper")
    )
    assert Differences((selenium, copper), 0.0).keep_from_offering == (selenium,)


def test_a_move_is_told_in_percent_and_from_double_on_as_an_amount():
    # 28 mg and 60 mg of zinc instead of 20 mg, in the same energy.
    assert said(MEAT, LIVER, portion("zinc tablet", 0.7)) == ["Zinc up 40 %"]
    assert said(MEAT, LIVER, portion("zinc tablet", 1.5)) == ["Zinc 38.46 mg more per 1000 kcal"]


def test_a_small_move_is_not_told():
    assert said(MEAT, LIVER, portion("zinc tablet", 0.55)) == []  # 10 %


@pytest.mark.parametrize(
    ("tablet_g", "verdict"), [(0.55, NEAR_EQUAL), (0.7, ANSWERS_KEPT), (1.5, NOT_EQUAL), (0.1, NOT_EQUAL)]
)
def test_the_verdict(tablet_g, verdict):
    found = differences(BEFORE, judged(MEAT, LIVER, portion("zinc tablet", tablet_g)))
    assert found.verdict == verdict


def test_a_vitamin_that_doubles_far_above_its_minimum_is_no_unequal_swap():
    vitamin = (limit("zinc", 8, group="Vitamins"),)
    before, after = (
        judged(*RECIPE, limits=vitamin),
        judged(MEAT, LIVER, portion("zinc tablet", 1.5), limits=vitamin),
    )
    assert differences(before, after).verdict == ANSWERS_KEPT


def test_harm_puts_limits_that_are_off_before_those_not_confirmed_before_moves():
    off = differences(BEFORE, judged(MEAT, portion("pale liver", 20), TABLET))
    unconfirmed = differences(BEFORE, judged(portion("fowl", 250), LIVER, TABLET))
    moved = differences(BEFORE, judged(MEAT, LIVER, portion("zinc tablet", 1.5)))
    assert sorted([off, unconfirmed, moved], key=lambda each: each.harm) == [moved, unconfirmed, off]


def test_distance_is_the_logarithm_of_the_move():
    found = differences(BEFORE, judged(MEAT, LIVER, portion("zinc tablet", 0.7)))
    assert found.distance == pytest.approx(math.log(1.4))
