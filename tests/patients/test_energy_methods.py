"""The published methods side by side, by hand at weights whose kg^0.75 is a whole number.

16 kg: 8, so RER (70 x kg^0.75; Small Animal Clinical Nutrition, 5th ed., Table 5-2) is 560 kcal.
"""

from dataclasses import replace

import pytest

from patients.energy_methods import Eater, Factor, methods_for

DOG = Eater(weight_kg=16, ideal_kg=16)


def make_factor(label, unit="x RER", low=None, usual=None, high=None, rule="DER factor", **more):
    return Factor(label, rule, label, low, usual, high, unit, "a textbook", "verified", "a note", **more)


NEUTERED = make_factor("neutered adult", usual=1.6, suits="neutered")
INTACT = make_factor("intact adult", usual=1.8, suits="intact")
LOSS = make_factor("weight loss", usual=1.0, suits="lose", at_ideal=True)
INACTIVE = make_factor("inactive adult", low=1.2, high=1.4, suits="low")
ACTIVE = make_factor("moderate activity", "kcal per kg^0.75", usual=110, rule="FEDIAF adult by activity")
WORKING = make_factor("working", low=2, high=3, stage="working")
YOUNG_PUPPY = make_factor("puppy, weaning to 4 months", usual=3, stage="puppy")
SHARE_ROW = make_factor(
    "puppy up to 50 %", "kcal per kg^0.75", usual=210, rule="FEDIAF growth", stage="puppy", holds_by="percent"
)
NURSING = make_factor(
    "lactation, 1 puppy", usual=3, stage="lactation", holds_by="puppies", holds_from=1, holds_until=2
)
PREGNANT = make_factor("gestation, last 21 days", usual=3, stage="gestation", holds_by="weeks", holds_from=7)
CROSS_CHECK = make_factor("60 % of maintenance", "x MER", usual=0.6, suits="lose", choosable=False)
FACTORS = [NEUTERED, LOSS, INACTIVE, ACTIVE, WORKING, YOUNG_PUPPY, SHARE_ROW, NURSING, PREGNANT]
POINTS = [
    make_factor(
        f"{percent} %", "x 130 per kg^0.75", usual=times, stage="puppy", holds_by="percent",
        rule="large/giant-breed growth by percent of adult weight", holds_from=percent, choosable=False,
    )
    for percent, times in ((60, 1.6), (15, 2.5), (80, 1.3))
]  # fmt: skip


def found(factors, **changes) -> dict:
    return {choice.label: choice for choice in methods_for(factors, replace(DOG, **changes))}


def test_an_adult_gets_the_adult_factors():
    choices = found(FACTORS)
    assert list(choices) == ["neutered adult", "weight loss", "inactive adult", "moderate activity"]
    assert choices["neutered adult"].kcal == pytest.approx(560 * 1.6)
    assert choices["moderate activity"].kcal == pytest.approx(110 * 8)
    assert choices["moderate activity"].per_mbw == pytest.approx(110)
    assert choices["neutered adult"].source == "a textbook"


def test_a_working_dog_gets_the_working_factors_beside_the_adults():
    assert {"working", "neutered adult"} <= set(found(FACTORS, stage="working"))


def test_a_range_without_a_usual_value_stays_a_range():
    choice = found([INACTIVE])["inactive adult"]
    assert choice.kcal is None
    assert choice.span == pytest.approx((560 * 1.2, 560 * 1.4))


def test_losing_weight_is_worked_out_at_the_weight_aimed_at_and_says_so():
    choices = found([NEUTERED, LOSS], weight_kg=20)
    loss, neutered = choices["weight loss"], choices["neutered adult"]
    assert (loss.kcal, loss.goal) == (pytest.approx(560), "lose")
    assert loss.note == "At 16 kg, the weight aimed at. a note"
    assert neutered.kcal == pytest.approx(70 * 20**0.75 * 1.6)
    assert neutered.note.startswith("At 20 kg, the weight now.")


@pytest.mark.parametrize(("neutered", "kcal"), [(True, 537.6), (None, 537.6), (False, 604.8)])
def test_sixty_percent_of_maintenance_goes_by_neutering(neutered, kcal):
    """0.6 x 1.6 x 560 and 0.6 x 1.8 x 560; Clinician's Brief, obesity management calculation sheet."""
    choice = found([NEUTERED, INTACT, CROSS_CHECK], neutered=neutered)["60 % of maintenance"]
    assert choice.kcal == pytest.approx(kcal)
    assert not choice.offered


@pytest.mark.parametrize(("traits", "fits"), [({"neutered"}, "neutered"), ({"intact"}, ""), (set(), "")])
def test_a_factor_says_why_it_speaks_of_this_dog(traits, fits):
    assert found([NEUTERED], traits=frozenset(traits))["neutered adult"].fits == fits


def test_the_observed_intake_comes_first_while_the_weight_is_steady():
    first = methods_for(FACTORS, replace(DOG, observed_kcal=812))[0]
    assert (first.key, first.kcal, first.offered) == ("observed", 812, True)
    assert not methods_for(FACTORS, replace(DOG, observed_kcal=812, steady=False))[0].offered


@pytest.mark.parametrize("kcal", [0, -5, float("nan")])
def test_an_intake_that_cannot_be_right(kcal):
    with pytest.raises(ValueError, match="daily intake"):
        methods_for([], replace(DOG, observed_kcal=kcal))


@pytest.mark.parametrize("weights", [{"weight_kg": 0}, {"ideal_kg": 200}, {"ideal_kg": float("nan")}])
def test_a_weight_that_cannot_be_right(weights):
    with pytest.raises(ValueError, match="cannot be right"):
        methods_for([], replace(DOG, **weights))


@pytest.mark.parametrize(("age", "holds"), [(3, False), (4, True), (11, True), (12, False), (None, True)])
def test_a_factor_holds_from_its_first_month_and_before_its_last(age, holds):
    factor = replace(NEUTERED, holds_by="months", holds_from=4, holds_until=12)
    assert bool(found([factor], age_months=age)) == holds


@pytest.mark.parametrize(
    ("breed", "holds"), [("Great Dane", True), ("cross of great dane", True), ("whippet", False)]
)
def test_what_was_published_for_a_breed_is_shown_for_it_alone(breed, holds):
    assert bool(found([replace(NEUTERED, suits="breed great dane")], breed=breed)) == holds


PUPPY = {"stage": "puppy", "weight_kg": 5, "ideal_kg": 5}


def test_a_puppy_gets_both_equations_and_the_puppy_factors():
    choices = found(FACTORS, **PUPPY, expected_adult_kg=10)
    assert list(choices) == [
        "growth equation, NRC", "growth by share of adult weight, FEDIAF", "puppy, weaning to 4 months",
    ]  # fmt: skip
    nrc, fediaf, _ = choices.values()
    assert nrc.kcal == pytest.approx(761.2, rel=0.005)  # NRC 2006, worked by hand in test_energy
    assert fediaf.kcal == pytest.approx(210 * 5**0.75)
    assert {choice.goal for choice in choices.values()} == {"grow"}


def test_a_puppy_of_unknown_adult_weight_gets_no_equation_but_hears_why():
    nrc, fediaf, *factors = found(FACTORS, **PUPPY).values()
    assert (nrc.kcal, fediaf.kcal) == (None, None)
    assert nrc.note == fediaf.note == "Needs the expected adult weight."
    assert [x.label for x in factors] == ["puppy, weaning to 4 months", "puppy up to 50 %"]


def test_a_puppy_above_its_expected_weight_is_not_passed_over():
    with pytest.raises(ValueError, match="more than its expected adult weight"):
        found(FACTORS, **PUPPY | {"weight_kg": 12}, expected_adult_kg=10)


LARGE = "large-breed growth by share of adult weight"


@pytest.mark.parametrize(
    ("kg", "times"),
    [
        (9, 2.5),  # 15 % of 60 kg
        (36, 1.6),  # 60 %
        (42, 1.45),  # 70 %: halfway between 60 % and 80 %
        (22.5, 2.05),  # 37.5 %: halfway between 15 % and 60 %
        (6, 2.5),  # below the first point
        (54, 1.3),  # above the last
    ],
)
def test_large_breed_growth_is_read_off_the_line(kg, times):
    """Points as in Richardson et al. 2010 (VNJ 37(4), 2022, Table 2), times 130 kcal per kg^0.75."""
    choice = found(POINTS, stage="puppy", weight_kg=kg, ideal_kg=kg, expected_adult_kg=60)[LARGE]
    assert choice.kcal == pytest.approx(times * 130 * kg**0.75)


def test_large_breed_growth_is_a_range_while_the_adult_weight_is_unknown_and_not_for_small_breeds():
    choice = found(POINTS, stage="puppy")[LARGE]
    assert choice.kcal is None
    assert choice.span == pytest.approx((1.3 * 130 * 8, 2.5 * 130 * 8))
    assert LARGE not in found(POINTS, stage="puppy", expected_adult_kg=20)


@pytest.mark.parametrize(
    ("week", "puppies", "kcal"),
    [
        (1, 1, 145 * 8 + 16 * 24 * 0.75),
        (3, 4, 145 * 8 + 16 * 96 * 1.1),
        (4, 6, 145 * 8 + 16 * (96 + 24) * 1.2),
    ],
)
def test_a_nursing_bitch_by_week_and_litter(week, puppies, kcal):
    """145 x kg^0.75 + kg x (24 n + 12 m) x L; NRC 2006, Table 15-7, from memory."""
    choices = found(FACTORS, stage="lactation", week=week, puppies=puppies)
    assert choices["lactation by week and litter, NRC"].kcal == pytest.approx(kcal)
    assert ("lactation, 1 puppy" in choices) == (puppies == 1)


def test_a_nursing_bitch_of_whom_not_all_is_known():
    nrc = "lactation by week and litter, NRC"
    assert "number of puppies" in found([], stage="lactation", week=2)[nrc].note
    unknown_week = found([], stage="lactation", puppies=1)[nrc]
    assert unknown_week.kcal is None
    assert unknown_week.span == pytest.approx((145 * 8 + 16 * 24 * 0.75, 145 * 8 + 16 * 24 * 1.2))
    assert "weeks 1 to 4" in found([], stage="lactation", week=5, puppies=3)[nrc].note
    assert "not 9" in found([], stage="lactation", week=2, puppies=9)[nrc].note


@pytest.mark.parametrize(
    ("week", "kcals"),
    [
        (4, {"gestation, weeks 1 to 4, NRC": 1040}),  # 130 x 8
        (5, {"gestation, weeks 5 to 9, NRC": 1456}),  # + 26 x 16
        (7, {"gestation, weeks 5 to 9, NRC": 1456, "gestation, last 21 days": 1680}),  # 3 x 560
        (None, {"gestation, weeks 1 to 4, NRC": 1040, "gestation, weeks 5 to 9, NRC": 1456,
                "gestation, last 21 days": 1680}),
    ],
)  # fmt: skip
def test_a_pregnant_bitch_by_week(week, kcals):
    choices = found(FACTORS, stage="gestation", week=week)
    assert {label: choice.kcal for label, choice in choices.items()} == pytest.approx(kcals)
