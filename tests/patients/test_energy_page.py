"""The scale of the energy page and what follows from a choice, by hand. 16 kg: kg^0.75 = 8, RER 560 kcal."""

from dataclasses import replace
from datetime import date

import pandas as pd
import pytest

from nutrients.adequacy import ProfileLimits
from patients.agreements import LITTLE_ENERGY, Agreement
from patients.dog import Dog
from patients.energy_choices import EnergyChoice, outside, published_range
from patients.energy_page import Wanted, grouped, mark, outcome, richer_food, scale_for
from patients.life_stage import ADULT

DOG = Dog("Tansy", "collie cross", ADULT, weight_kg=20.0, bcs=7)


def choice(key="neutered", kcal=None, low=None, high=None, **more) -> EnergyChoice:
    return EnergyChoice(key, key, kcal, low, high, "a textbook", "verified", "a note", 16.0, **more)


LOSS = choice("loss", 560, 448, 560, goal="lose")
HOLD = choice("hold", 900, 900, 900)
LIGHT = choice("light", None, 700, 800)
RER = choice("rer", 560, offered=False)
ALL = [LOSS, HOLD, LIGHT, RER]


@pytest.mark.parametrize(("goal", "span"), [("lose", (448, 560)), ("hold", (700, 900)), ("gain", (448, 900))])
def test_the_published_range_is_that_of_the_goal_and_of_all_where_it_has_none(goal, span):
    assert published_range(ALL, goal) == span
    assert published_range([RER], goal) is None


@pytest.mark.parametrize(
    ("kcal", "is_outside"), [(447.6, False), (447.4, True), (560.4, False), (560.6, True), (500, False)]
)
def test_the_ends_of_a_range_belong_to_it_as_they_are_rounded(kcal, is_outside):
    assert outside(kcal, (448.2, 559.9)) == is_outside


def test_everything_stands_on_one_scale_from_zero():
    scale = scale_for(ALL, 560)
    assert scale.end == 1000  # 900 / 4 = 225: the next step is 250; 4 of them
    assert scale.ticks == pytest.approx((0, 250, 500, 750, 1000))
    assert mark(LIGHT, scale).bar_from == pytest.approx(70)
    assert mark(LIGHT, scale).bar_width == pytest.approx(10)
    assert (mark(LIGHT, scale).dot, mark(HOLD, scale).dot) == (None, pytest.approx(90))
    assert mark(choice(), scale).dot is None


def test_what_goes_beyond_eight_times_rer_is_an_arrow():
    sled = choice("sled", None, 6880, 9920)  # 860 to 1240 kcal per kg^0.75
    scale = scale_for([sled], 560)
    assert scale.end == 6000  # 8 x 560 = 4480; a fourth is 1120, the next step 2000
    assert mark(sled, scale).beyond
    assert not mark(HOLD, scale).beyond


def test_the_goals_own_methods_come_first_and_comparisons_last():
    groups = grouped(ALL, scale_for(ALL, 560), outcome(Wanted("lose", 16, "hold"), ALL, DOG), "lose")
    assert groups[0][0] == "To lose weight"
    assert groups[-1][0].startswith("For comparison")
    chosen = [row.choice.key for _, rows in groups for row in rows if row.chosen]
    assert chosen == ["hold"]
    assert sorted(row.choice.key for _, rows in groups for row in rows) == sorted(each.key for each in ALL)


def test_a_chosen_method_is_its_number():
    found = outcome(Wanted("lose", 16, "loss"), ALL, DOG)
    assert (found.kcal, found.may_go_on, found.is_outside) == (560, True, False)
    assert (found.of_rer, found.per_mbw, found.extras_kcal) == pytest.approx((1, 70, 56))


@pytest.mark.parametrize(
    ("method", "typed", "known_as", "dot"),
    [
        ("hold", None, "hold", 90),
        ("hold", 850, "by-hand", 90),  # the method keeps its own dot: the number is not its
        ("hold", 900, "hold", 90),
        ("light", 750, "light", 75),
        ("light", 850, "by-hand", None),
        ("by-hand", 850, "by-hand", 90),
        ("", 850, "by-hand", 90),
    ],
)
def test_a_number_is_said_to_be_a_methods_only_where_the_method_names_it(method, typed, known_as, dot):
    found = outcome(Wanted("hold", 16, method, typed), ALL, DOG)
    assert found.method == known_as
    assert found.label == ("set by hand" if known_as == "by-hand" else known_as)
    groups = grouped(ALL, scale_for(ALL, 560), found, "hold")
    rows = {row.choice.key: row for _, rows in groups for row in rows}
    assert [key for key, row in rows.items() if row.chosen] == [k for k in [known_as] if k != "by-hand"]
    place = rows["light" if method == "light" else "hold"].mark.dot
    assert place == (None if dot is None else pytest.approx(dot))


def test_nothing_is_chosen_by_itself():
    found = outcome(Wanted("hold", 16), ALL, DOG)
    assert (found.kcal, found.problems, found.may_go_on) == (None, (), False)


@pytest.mark.parametrize(
    ("method", "words"),
    [("light", "700 to 800"), ("by-hand", "Type the kcal"), ("rer", "does not fit"), ("?", "does not fit")],
)
def test_what_is_missing_is_told(method, words):
    found = outcome(Wanted("hold", 16, method), ALL, DOG)
    assert words in " ".join(found.problems)
    assert not found.may_go_on


@pytest.mark.parametrize(
    ("wanted", "asks"),
    [
        (Wanted("lose", 16, "by-hand", 500), False),
        (Wanted("lose", 16, "by-hand", 561), True),
        (Wanted("lose", 16, "hold"), True),  # 900 kcal to hold are outside the range for a loss
        (Wanted("hold", 16, "light", 750), False),
        (Wanted("hold", 16, "light", 850), True),  # within the goal's range, not within the method's
        (Wanted("hold", 16, "by-hand", 850), False),
    ],
)
def test_a_choice_outside_the_published_range_asks_for_a_reason(wanted, asks):
    assert bool(outcome(wanted, ALL, DOG).why_needed) == asks
    told = outcome(replace(wanted, reason="ate it for years"), ALL, DOG)
    assert (told.why_needed, told.is_outside, told.may_go_on) == ("", asks, True)


def test_below_four_fifths_of_rer_only_with_the_veterinarians_agreement():
    """0.8 x 560 = 448 kcal: AAHA 2014 Weight Management Guidelines."""
    asked = Wanted("lose", 16, "by-hand", 447, "a reason is not enough")
    found = outcome(asked, ALL, DOG)
    assert "sign-off" in " ".join(found.problems)
    assert not found.may_go_on
    agreed = Agreement(
        LITTLE_ENERGY, "Dr M. Sorrel", "Sallow Bridge", date(2026, 1, 2), "", lowest_kcal=420.0
    )
    assert outcome(asked, ALL, replace(DOG, agreements=(agreed,))).may_go_on


def test_a_loss_must_aim_below_the_weight_now():
    assert "below the weight now" in outcome(Wanted("lose", 20, "loss"), ALL, DOG).problems[0]


def limits(**minima) -> pd.DataFrame:
    rows = [
        {"key": key, "name": key, "unit": "g", "factor": 1.0, "minimum": minimum, "decimals": 1,
         "raised": False, "changed": False, "source": "", "certainty": "", "note": ""}
        for key, minimum in minima.items()
    ]  # fmt: skip
    return pd.DataFrame(rows).set_index("key")


def test_what_the_food_of_a_dog_that_eats_little_must_hold_more_of():
    """An allowance of 2.0 per kg^0.75 x 8 = 16 a day; of 560 kcal: 16 / 0.56 = 28.57 per 1000 kcal."""
    profile = ProfileLimits("p", "p", "", "", False, limits(zinc=20.0, iron=10.0, fat=13.8, copper=1.0))
    allowances = ProfileLimits("a", "a", "", "", False, limits(zinc=2.0, iron=0.5, fat=9.0, copper=0.2))
    copper, zinc = richer_food(profile, allowances, 560, 16)
    assert (copper.name, copper.needed, copper.percent_more) == ("copper", pytest.approx(2.857, abs=1e-3),
                                                                  pytest.approx(185.7, abs=0.1))  # fmt: skip
    assert (zinc.published, zinc.needed) == (20.0, pytest.approx(28.571, abs=1e-3))
    assert richer_food(profile, allowances, 2000, 16) == []
