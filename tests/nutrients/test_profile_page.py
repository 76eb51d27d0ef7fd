"""Profiles side by side: one unit, one basis, and how they stand to the first."""

import pytest

from nutrients.profile_basis import PER_DM, PER_MBW, StatedEnergy
from nutrients.profile_page import compared
from tests.nutrients.makers import make_profile

STATED = StatedEnergy()
PER_1000_KCAL = "per_1000_kcal"


def rows_of(*profiles, basis=PER_1000_KCAL, stated=None):
    rows = compared(profiles, basis, stated or [STATED] * len(profiles))
    return {row.name: row for row in rows}


def said(row):
    """Per profile: minimum and maximum with what is said against the first."""
    return [
        ((cell.minimum.amount, cell.minimum.against_first), (cell.maximum.amount, cell.maximum.against_first))
        for cell in row.cells
    ]


def test_a_limit_stands_to_the_first_in_percent():
    adult = make_profile({"protein": {"minimum": 45.0}})
    growth = make_profile({"protein": {"minimum": 56.25, "maximum": 90.0}})
    row = rows_of(adult, growth)["Protein"]
    assert said(row) == [((45, ""), (None, "")), ((56.25, "+25 %"), (90, "not in the first"))]
    assert row.differs


def test_less_and_missing_are_said_too():
    first = make_profile({"protein": {"minimum": 50.0, "maximum": 90.0}})
    second = make_profile({"protein": {"minimum": 40.0}})
    assert said(rows_of(first, second)["Protein"])[1] == ((40, "−20 %"), (None, "not here"))


def test_what_is_rounded_differently_is_the_same():
    row = rows_of(
        make_profile({"protein": {"minimum": 56.25}}), make_profile({"protein": {"minimum": 56.3}})
    )["Protein"]
    assert said(row)[1][0] == (56.3, "")
    assert not row.differs


def test_a_nutrient_of_one_profile_only_has_no_limit_in_the_other():
    row = rows_of(make_profile({"zinc": {"minimum": 20.0}}), make_profile({"iron": {"minimum": 10.0}}))[
        "Iron"
    ]
    assert said(row) == [((None, ""), (None, "")), ((10, "not in the first"), (None, ""))]


def test_all_stand_in_the_unit_of_the_first():
    in_mg = make_profile({"selenium": {"unit": "mg", "minimum": 0.08}})
    in_ug = make_profile({"selenium": {"unit": "ug", "minimum": 87.5}})
    row = rows_of(in_mg, in_ug)["Selenium"]
    assert row.unit == "mg"
    assert said(row)[1][0] == (pytest.approx(0.0875), "+9 %")


def test_vitamin_a_in_retinol_equivalents_beside_iu():
    # 1 RE = 1 ug retinol, 1 IU = 0.3 ug: 379 RE = 1263 IU
    in_iu = make_profile({"vitamin_a": {"unit": "IU", "minimum": 1250.0}})
    in_re = make_profile({"vitamin_a": {"unit": "RE", "minimum": 379.0}})
    assert said(rows_of(in_iu, in_re)["Vitamin_A"])[1][0] == (pytest.approx(1263.3, abs=0.1), "+1 %")


def test_each_profile_has_its_own_energy():
    """NRC 2006: 3.28 g protein per kg^0.75 at 130 kcal are 25.2 g per 1000 kcal."""
    per_1000 = make_profile({"protein": {"minimum": 25.0}})
    per_mbw = make_profile({"protein": {"minimum": 3.28}}, basis=PER_MBW)
    stated = [StatedEnergy(per_mbw=110), StatedEnergy(per_mbw=130)]
    assert said(rows_of(per_1000, per_mbw, stated=stated)["Protein"])[1][0][0] == pytest.approx(
        25.23, abs=0.01
    )
    on_dm = rows_of(per_1000, per_mbw, basis=PER_DM, stated=stated)["Protein"]
    assert on_dm.unit == "% DM"
    assert [cell.minimum.amount for cell in on_dm.cells] == [
        pytest.approx(10),
        pytest.approx(10.09, abs=0.01),
    ]


def test_a_changed_limit_is_marked_and_the_kind_of_maximum_named():
    legal = {"copper": {"maximum": 7.0, "maximum_kind": "legal", "changed": True}}
    cell = rows_of(make_profile({"copper": {"minimum": 1.8}}), make_profile(legal))["Copper"].cells[1]
    assert (cell.changed, cell.maximum_kind) == (True, "legal")
