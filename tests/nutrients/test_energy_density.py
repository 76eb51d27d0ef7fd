"""Metabolizable energy from protein, fat and nitrogen-free extract."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nutrients.energy_density import EQUATIONS, energy_of, me_atwater, me_modified_atwater, me_nrc_2006
from tests.nutrients.makers import UNKNOWN, make_composition

GRAMS = st.floats(min_value=0, max_value=5000)


def test_atwater():
    """FEDIAF, home-cooked food: 20 x 4 + 10 x 9 + 5 x 4."""
    assert me_atwater(20, 10, 5) == 190


def test_modified_atwater():
    """AAFCO, processed food: 20 x 3.5 + 10 x 8.5 + 5 x 3.5."""
    assert me_modified_atwater(20, 10, 5) == 172.5


def test_nrc_2006():
    """Worked by hand from the four steps (from memory) for 100 g of dry matter.

    GE 5.7 x 25 + 9.4 x 10 + 4.1 x (50 + 5) = 462; digestibility 91.2 - 1.43 x 5 = 84.05 %;
    DE 462 x 0.8405 = 388.311; ME 388.311 - 1.04 x 25 = 362.311.
    """
    assert me_nrc_2006(25, 10, 50, 5, 100) == pytest.approx(362.311)


def test_nrc_2006_takes_fibre_as_a_share_of_the_dry_matter():
    assert me_nrc_2006(50, 20, 100, 10, 200) == pytest.approx(2 * 362.311)


@given(GRAMS, GRAMS, GRAMS)
def test_the_modified_factors_never_give_more(protein, fat, nfe):
    assert me_modified_atwater(protein, fat, nfe) <= me_atwater(protein, fat, nfe)


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
@pytest.mark.parametrize("place", range(3))
@pytest.mark.parametrize("equation", [me_atwater, me_modified_atwater])
def test_what_is_no_weight_is_refused(equation, place, bad):
    grams = [10.0, 10.0, 10.0]
    grams[place] = bad
    with pytest.raises(ValueError, match="must be 0 g or more"):
        equation(*grams)


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
@pytest.mark.parametrize("place", range(5))
def test_nrc_2006_refuses_what_is_no_weight(place, bad):
    grams = [10.0, 10.0, 10.0, 1.0, 40.0]
    grams[place] = bad
    with pytest.raises(ValueError, match="must be 0 g or more"):
        me_nrc_2006(*grams)


@pytest.mark.parametrize("dry_matter", [0, 34.9])
def test_nrc_2006_refuses_dry_matter_smaller_than_its_parts(dry_matter):
    with pytest.raises(ValueError, match="cannot hold 35 g"):
        me_nrc_2006(10, 10, 10, 5, dry_matter)


def test_nrc_2006_does_not_hold_for_almost_pure_fibre():
    with pytest.raises(ValueError, match="does not hold for 90 % crude fibre"):
        me_nrc_2006(5, 0, 5, 90, 100)


STEW = [
    ("beef", "muscle meat", 300, {"protein": 60.0, "fat": 30.0, "nfe": 0.0, "fiber": 0.0, "ash": 3.0}),
    ("rice", "grain & starch", 200, {"protein": 5.0, "fat": 1.0, "nfe": 56.0, "fiber": 1.0, "ash": 1.0}),
]


def test_energy_of_a_batch():
    energy = energy_of(make_composition(STEW))
    assert energy.protein_kcal == 65 * 4
    assert energy.fat_kcal == 31 * 9
    assert energy.nfe_kcal == 56 * 4
    assert energy.kcal == 260 + 279 + 224
    assert energy.missing == ()


@pytest.mark.parametrize(
    ("equation", "expected"),
    [
        ("atwater", 763),
        ("modified_atwater", 65 * 3.5 + 31 * 8.5 + 56 * 3.5),
        # Dry matter 65 + 31 + 56 + 1 + 4 = 157 g; digestibility 91.2 - 1.43 x 100/157 = 90.28917 %;
        # GE 5.7 x 65 + 9.4 x 31 + 4.1 x 57 = 895.6; ME 895.6 x 0.9028917 - 1.04 x 65 = 741.0298
        ("nrc_2006", 741.0298),
    ],
)
def test_energy_by_each_equation(equation, expected):
    energy = energy_of(make_composition(STEW), equation)
    assert energy.kcal == pytest.approx(expected, abs=0.001)
    assert energy.protein_kcal + energy.fat_kcal + energy.nfe_kcal == pytest.approx(energy.kcal)


def test_every_equation_is_tried_above():
    assert set(EQUATIONS) == {"atwater", "modified_atwater", "nrc_2006"}


@pytest.mark.parametrize("part", ["protein", "fat", "nfe"])
def test_energy_that_is_not_known_is_left_out_and_named(part):
    bread = {"protein": 9.0, "fat": 3.0, "nfe": 49.0, "fiber": 2.0, "ash": 2.0}
    worth = {"protein": 9 * 4, "fat": 3 * 9, "nfe": 49 * 4}
    energy = energy_of(make_composition([*STEW, ("bread", "grain", 100, bread | {part: UNKNOWN})]))
    assert energy.kcal == pytest.approx(763 + sum(worth.values()) - worth[part])
    assert energy.missing == ("bread",)


def test_nrc_2006_names_a_food_without_fibre():
    bran = {"protein": 9.0, "fat": 3.0, "nfe": 49.0, "fiber": UNKNOWN, "ash": 2.0}
    batch = make_composition([*STEW, ("bran", "grain", 100, bran)])
    assert energy_of(batch, "nrc_2006").missing == ("bran",)
    assert energy_of(batch).missing == ()


@pytest.mark.parametrize("equation", EQUATIONS)
def test_a_batch_nothing_is_known_of_has_no_energy(equation):
    energy = energy_of(make_composition([("mystery", "other", 10, {"protein": UNKNOWN})]), equation)
    assert energy.kcal == 0
    assert energy.missing == ("mystery",)


def test_an_equation_that_does_not_exist_is_refused():
    with pytest.raises(ValueError, match="no energy equation called 'guess': choose atwater"):
        energy_of(make_composition(STEW), "guess")
