"""What a correction changes in answers: judgements, and what a sheet's record says."""

import math

import pandas as pd
import pytest

from nutrients.adequacy import ProfileLimits
from nutrients.adequacy_table import AnswerWord
from nutrients.composition import with_derived_foods
from patients.recall import (
    Change,
    changes,
    changes_since_issued,
    columns_for,
    limits_reached,
    narrowed,
    nutrients_reached,
    with_factors,
    with_values,
)

FOOD = {"water": 70.0, "protein": 20.0, "fat": 5.0, "ash": 1.0, "fiber": 0.0, "calcium": 10.0}


@pytest.fixture
def table():
    return with_derived_foods(pd.DataFrame({"meat": FOOD, "bone": FOOD}).T)


def test_a_table_with_another_value(table):
    other = with_values(table, {("meat", "calcium"): 25})
    assert other.at["meat", "calcium"] == 25
    assert other.at["bone", "calcium"] == 10
    assert table.at["meat", "calcium"] == 10


def test_nfe_follows_its_parts(table):
    # 100 - 70 - 20 - 5 - 1 - 0 = 4; with 17 g protein 7
    assert table.at["meat", "nfe"] == pytest.approx(4)
    assert with_values(table, {("meat", "protein"): 17}).at["meat", "nfe"] == pytest.approx(7)
    assert math.isnan(with_values(table, {("meat", "protein"): None}).at["meat", "nfe"])


def test_foods_that_nobody_uses_are_passed_over(table):
    pd.testing.assert_frame_equal(with_values(table, {("tripe", "calcium"): 1, ("meat", "gold"): 1}), table)


@pytest.fixture
def retention():
    rows = pd.MultiIndex.from_tuples([("beef", "baked"), ("roots", "baked")], names=["food_group", "method"])
    return pd.DataFrame({"iron": [0.9, 0.8], "zinc": [1.0, math.nan]}, index=rows)


def test_a_retention_table_with_another_factor(retention):
    other = with_factors(retention, {("beef", "baked", "iron"): 55, ("roots", "baked", "iron"): None})
    assert other.at[("beef", "baked"), "iron"] == 0.55
    assert math.isnan(other.at[("roots", "baked"), "iron"])
    assert retention.at[("beef", "baked"), "iron"] == 0.9


def test_a_factor_where_none_stood(retention):
    other = with_factors(retention, {("grain", "steamed", "iron"): 40})
    assert other.at[("grain", "steamed"), "iron"] == 0.4
    assert math.isnan(other.at[("grain", "steamed"), "zinc"])


def judged(**answers) -> pd.DataFrame:
    """key -> (answer for the minimum, answer for the maximum)."""
    rows = {
        key: {
            "name": key.title(), "group": "", "unit": "g", "decimals": 1, "amount": 1.0, "minimum": 1.0,
            "maximum": 2.0, "maximum_kind": "legal", "percent_of_minimum": 100.0, "minimum_answer": minimum,
            "maximum_answer": maximum, "completeness": 1.0, "missing": (), "source": "", "certainty": "",
            "maximum_certainty": "", "note": "", "raised": False, "changed": False,
        }
        for key, (minimum, maximum) in answers.items()
    }  # fmt: skip
    return pd.DataFrame(rows).T


MEETS, BELOW = AnswerWord("meets", "Meets minimum"), AnswerWord("below", "Below minimum")
ABOVE = AnswerWord("above", "Above maximum (legal)")
WITHIN = AnswerWord("meets", "Within maximum (legal)")


def test_the_same_answers_are_no_change():
    assert changes(judged(calcium=("meets", "above")), judged(calcium=("meets", "above"))) == ()


def test_each_side_is_compared():
    found = changes(
        judged(calcium=("meets", "meets"), zinc=("meets", "above")),
        judged(calcium=("below", "meets"), zinc=("meets", "meets")),
    )
    assert found == (Change("Calcium", (MEETS,), (BELOW,)), Change("Zinc", (ABOVE,), (WITHIN,)))


def test_open_answers_come_first():
    found = changes(
        judged(calcium=("below", "meets"), zinc=("meets", "meets")),
        judged(calcium=("meets", "meets"), zinc=("cannot_confirm", "meets")),
    )
    assert [(change.name, change.is_open) for change in found] == [("Zinc", True), ("Calcium", False)]
    assert found[0].since == (AnswerWord("cannot_confirm", "Cannot confirm: data missing (minimum)"),)


def test_a_limit_that_was_not_there_before():
    without, with_it = judged(zinc=("meets", "")), judged(zinc=("meets", ""), calcium=("below", ""))
    assert changes(without, with_it) == (Change("Calcium", (), (BELOW,)),)
    assert changes(with_it, without) == (Change("Calcium", (BELOW,), ()),)
    assert changes(without, judged(zinc=("meets", "meets"))) == ()


def test_what_can_no_longer_be_worked_out():
    (change,) = changes(judged(zinc=("meets", "")), None)
    assert (change.before[0].word, change.since[0].word) == ("Worked out", "Cannot be worked out")
    assert change.is_open
    assert changes(None, None) == ()


def record(**answers):
    """The adequacy groups of a sheet's record. key -> the words of its answers."""
    rows = [
        {
            "key": key,
            "name": key.title(),
            "answers": [{"answer": answer, "word": "as printed"} for answer in said],
        }
        for key, said in answers.items()
    ]
    return [["minerals", rows]]


def test_what_a_sheet_says_and_what_holds_now():
    since = judged(calcium=("below", "meets"), zinc=("meets", "meets"), iron=("meets", "above"))
    found = changes_since_issued(record(calcium=["meets"], zinc=["meets"], iron=["above"]), since)
    assert found == (Change("Calcium", (AnswerWord("meets", "as printed"),), (BELOW,)),)


def test_what_a_sheet_did_not_judge():
    found = changes_since_issued(record(), judged(zinc=("meets", "meets"), iron=("below", "meets")))
    assert [change.name for change in found] == ["Iron"]


def test_a_sheet_whose_plan_can_no_longer_be_worked_out():
    (change,) = changes_since_issued(record(zinc=["meets"]), None)
    assert change.is_open


def test_a_nutrient_reaches_what_is_worked_out_from_it():
    assert nutrients_reached({"calcium"}) == {"calcium", "ca_p_ratio"}
    assert nutrients_reached({"retinol", "iron"}) == {"retinol", "iron", "vitamin_a"}


@pytest.mark.parametrize("part", ["water", "protein", "fat", "ash", "fiber"])
def test_what_energy_depends_on_reaches_every_amount_per_1000_kcal(part):
    assert nutrients_reached({part, "iron"}) is None


def test_limits_reach_themselves_and_protein_reaches_arginine():
    assert limits_reached({"calcium"}) == {"calcium"}
    assert limits_reached({"protein"}) == {"protein", "arginine"}


def test_a_narrowed_profile_keeps_the_protein_that_arginine_rises_from():
    keys = ["protein", "arginine", "iron", "zinc"]
    limits = pd.DataFrame({"minimum": [45.0, 1.3, 10.0, 20.0]}, index=keys)
    whole = ProfileLimits("p", "P", "1", "adult", False, limits, 0.01)
    assert list(narrowed(whole, {"zinc"}).limits.index) == ["zinc"]
    assert list(narrowed(whole, {"arginine"}).limits.index) == ["protein", "arginine"]
    assert narrowed(whole, {"arginine"}).arginine_per_g_protein == 0.01


def test_the_columns_that_it_takes():
    assert set(columns_for({"ca_p_ratio"})) == {
        "calcium", "phosphorus", "water", "protein", "fat", "ash", "fiber", "nfe"
    }  # fmt: skip
