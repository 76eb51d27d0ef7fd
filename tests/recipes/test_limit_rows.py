"""Rows of a judgement on a basis, with both answers. No database."""

from dataclasses import replace

import pytest

from nutrients.adequacy import judge
from nutrients.profile_basis import PER_DM
from recipes.basis import USUAL, basis_of
from recipes.limit_rows import grouped, limit_rows
from tests.nutrients.makers import UNKNOWN, make_profile
from tests.recipes.test_presentation import GROATS, HEN, make_analysis

# 274 kcal: 40 mg calcium are 146 mg per 1000 kcal, 250 mg phosphorus 912, 25 g protein 91.24
LIMITS = {
    "protein": {"minimum": 45, "maximum": 100, "maximum_kind": "nutritional"},
    "calcium": {"unit": "mg", "minimum": 200, "maximum": 400, "maximum_kind": "legal"},
    "phosphorus": {"unit": "mg", "maximum": 800, "maximum_kind": "legal"},
}


def rows_of(limits, hen=HEN, groats=GROATS, basis=None):
    analysis = make_analysis(hen, groats)
    made_of = analysis.composition
    judgement = judge(made_of.totals, made_of.completeness, analysis.energy.kcal, make_profile(limits))
    judged = replace(analysis, judgement=judgement)
    return {row.key: row for row in limit_rows(judged, basis_of(basis, judged) if basis else USUAL)}


def answers(row):
    return [answer.word for answer in row.both_answers]


def test_both_answers_are_told():
    rows = rows_of(LIMITS)
    assert answers(rows["protein"]) == ["Meets minimum", "Within maximum (nutritional)"]
    assert answers(rows["calcium"]) == ["Below minimum", "Within maximum (legal)"]
    assert answers(rows["phosphorus"]) == ["Above maximum (legal)"]
    rows = rows_of(LIMITS, hen=HEN | {"calcium": UNKNOWN})
    assert answers(rows["calcium"]) == ["Cannot confirm: data missing"]


def test_the_distance_to_the_maximum_never_hides_that_it_is_passed():
    rows = rows_of(LIMITS)
    assert rows["protein"].room == "8 % left"  # 1 - 91.24 / 100
    assert rows["phosphorus"].room == "15 % above"  # 912.4 / 800 - 1 = 14.05 %
    barely = rows_of({"protein": {"maximum": 91.2, "maximum_kind": "legal"}})["protein"]  # 0.04 % above
    assert barely.room == "1 % above"
    assert rows_of({"protein": {"minimum": 45}})["protein"].room == ""


def test_the_percent_of_the_minimum_is_never_rounded_up_to_it():
    assert rows_of({"protein": {"minimum": 91.3}})["protein"].of_minimum == 99  # 99.93
    assert rows_of({"protein": {"minimum": 25 * 1000 / 274}})["protein"].of_minimum == 100
    assert rows_of({"taurine": {"minimum": 1}})["taurine"].of_minimum is None


def test_limits_move_to_another_basis_with_the_amount_and_the_answers_stay():
    """4.0896 kcal per g dry matter: 45 g per 1000 kcal are 18.40 % of it, 200 mg are 817.9 mg per kg."""
    usual, dry = rows_of(LIMITS), rows_of(LIMITS, basis=PER_DM)
    assert dry["protein"].minimum == pytest.approx(18.403, abs=0.001)
    assert dry["protein"].amount == pytest.approx(25 / 67 * 100)
    assert dry["calcium"].minimum == pytest.approx(817.9, abs=0.1)
    assert dry["calcium"].unit == "mg/kg DM"
    for key, row in usual.items():
        assert (row.both_answers, row.room, row.of_minimum) == (
            dry[key].both_answers,
            dry[key].room,
            dry[key].of_minimum,
        )


def test_the_room_for_vitamin_a_goes_by_retinol_alone():
    """822 ug retinol are 2740 IU, 10000 per 1000 kcal: half of the maximum. 10 mg carotene is 8330."""
    limits = {"vitamin_a": {"unit": "IU", "minimum": 1250, "maximum": 20000, "maximum_kind": "legal"}}
    hen, groats = HEN | {"retinol": 822, "beta_carotene": 10_000}, GROATS | {"retinol": 0, "beta_carotene": 0}
    row = rows_of(limits, hen, groats)["vitamin_a"]
    assert row.amount == pytest.approx((2740 + 8330) * 1000 / 274)  # above the maximum, were it counted
    assert row.room == "50 % left"
    # on the scale 10000 lies between the minimum at 60 and the maximum at 180
    assert row.mark.dot == pytest.approx(60 + 120 * (10000 - 1250) / (20000 - 1250))
    assert not row.mark.beyond
    none = {"retinol": 0, "beta_carotene": 0}
    assert rows_of(limits, HEN | none, GROATS | none)["vitamin_a"].room == "100 % left"


def test_a_ratio_has_no_ingredient_that_brings_it():
    rows = rows_of({"ca_p_ratio": {"unit": "ratio", "minimum": 1}, "protein": {"minimum": 45}})
    assert [rows[key].has_parts for key in ("ca_p_ratio", "protein")] == [False, True]


def test_only_what_is_open_is_kept_under_its_group():
    rows = list(rows_of(LIMITS).values())
    found = grouped(rows, ["organic", "minerals", "minerals"], only_open=True)
    assert [(group, [row.key for row in each]) for group, each in found] == [
        ("minerals", ["calcium", "phosphorus"])
    ]
    assert [group for group, _ in grouped(rows, ["organic", "minerals", "minerals"])] == [
        "organic",
        "minerals",
    ]
