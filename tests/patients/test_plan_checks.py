"""What is wrong with a plan's numbers, beside the field that it stands in."""

from types import SimpleNamespace

import pytest

from patients.dog import Avoided, Dog
from patients.life_stage import ADULT, LifeStage
from patients.plan_checks import plan_problems, recipe_problems

PUPPY = LifeStage("growing", True, "aafco-growth", "puppy")


def dog(**particulars) -> Dog:
    return Dog(
        **({"name": "Juniper", "breed": "hound cross", "stage": ADULT, "weight_kg": 20.0} | particulars)
    )


def problems(of=None, **choices) -> dict[str, str]:
    sound = {
        "target_kg": 20.0, "goal": "hold", "kcal_per_day": 1000.0, "extras_kcal": 0.0, "recipe_share": 1.0,
        "meals_per_day": 2, "batch_days": 4, "meal_split": [], "frozen": False,
    }  # fmt: skip
    return dict(plan_problems(SimpleNamespace(**(sound | choices)), of or dog()))


def test_a_sound_plan_has_no_problem():
    assert problems() == {}


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("target_kg", 0), ("target_kg", 121), ("target_kg", float("nan")), ("target_kg", 9.9),
        ("target_kg", 32.1),
        ("extras_kcal", 101), ("extras_kcal", -1), ("recipe_share", 0), ("recipe_share", 1.01),
        ("meals_per_day", 0), ("meals_per_day", 7), ("batch_days", 0), ("batch_days", 32),
        ("kcal_per_day", 0), ("kcal_per_day", float("nan")),
    ],
)  # fmt: skip
def test_a_number_out_of_range_is_told_at_its_field(field, value):
    assert field in problems(**{field: value})


@pytest.mark.parametrize(("field", "value"), [("extras_kcal", 100), ("meals_per_day", 6), ("target_kg", 10)])
def test_the_ends_of_the_ranges_are_taken(field, value):
    assert field not in problems(**{field: value})


def test_energy_below_four_fifths_of_resting_energy_is_refused():
    # 70 x 16^0.75 = 70 x 8 = 560 kcal; 0.8 x 560 = 448
    losing = {"goal": "lose", "target_kg": 16.0}
    assert "at least 448 kcal" in problems(kcal_per_day=447, **losing)["kcal_per_day"]
    assert problems(kcal_per_day=448, **losing) == {}


def test_the_least_that_is_asked_for_is_enough():
    """0.8 x 70 x 15.4^0.75 = 435.3 kcal: in whole kcal 436 is the first that is not below."""
    losing = {"goal": "lose", "target_kg": 15.4}
    assert "at least 436 kcal" in problems(kcal_per_day=435, **losing)["kcal_per_day"]
    assert problems(kcal_per_day=436, **losing) == {}


def test_energy_above_ten_times_resting_energy_is_refused():
    # 70 x 16^0.75 = 560 kcal, times 10
    light = dog(weight_kg=16.0)
    assert "5,600" in problems(light, target_kg=16.0, kcal_per_day=5601)["kcal_per_day"]
    assert problems(light, target_kg=16.0, kcal_per_day=5600) == {}


@pytest.mark.parametrize(("goal", "target"), [("lose", 20.0), ("lose", 21.0), ("gain", 20.0), ("gain", 19.0)])
def test_the_target_must_lie_where_the_goal_points(goal, target):
    assert "target_kg" in problems(goal=goal, target_kg=target)


def test_a_grown_dog_does_not_grow_and_a_puppy_does_not_lose():
    assert "goal" in problems(goal="grow")
    assert "goal" in problems(dog(stage=PUPPY), goal="lose", target_kg=19.0)
    assert "goal" in problems(dog(conditions=("pregnant",)), goal="lose", target_kg=19.0)
    assert "goal" not in problems(dog(stage=PUPPY), goal="grow")


def test_days_that_the_fridge_does_not_cover_must_be_frozen():
    assert "3 of the 7 days must be frozen" in problems(batch_days=7)["frozen"]
    assert problems(batch_days=7, frozen=True) == {}
    assert problems(batch_days=4, meal_split=[]) == {}


def test_an_avoided_food_is_named_with_its_reason():
    itchy = dog(avoids=(Avoided("", "chicken", "itching"), Avoided("Beef liver, raw", "", "")))
    foods = {"Chicken breast, raw": "muscle meat", "Beef liver, raw": "organ", "Pumpkin, raw": "vegetable"}
    found = recipe_problems(itchy, foods, "adult", growth_profile=False)
    assert [field for field, _ in found] == ["recipe_version"] * 2
    assert "Chicken breast, raw" in found[0][1]
    assert "itching" in found[0][1]
    assert "Beef liver, raw" in found[1][1]


def test_a_word_may_name_a_whole_group():
    entry = Avoided("", "Organ", "")
    assert entry.means("Beef liver, raw", "organ")
    assert not entry.means("Beef, raw", "muscle meat")


def test_a_growing_dog_needs_a_growth_profile():
    foods = {"Pumpkin, raw": "vegetable"}
    puppy = dog(stage=PUPPY)
    assert [field for field, _ in recipe_problems(puppy, foods, "adult", growth_profile=False)] == ["profile"]
    assert recipe_problems(puppy, foods, "growth", growth_profile=True) == []
    nursing = dog(conditions=("nursing five puppies",))
    assert recipe_problems(nursing, foods, "adult", growth_profile=False)


def test_an_empty_recipe_is_told():
    assert recipe_problems(dog(), {}, "adult", growth_profile=False)[0][0] == "recipe_version"
