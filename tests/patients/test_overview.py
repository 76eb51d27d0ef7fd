"""What a dog's page holds, with energies worked out by hand."""

from datetime import timedelta

import pytest
from django.utils import timezone

from nutrients.models import Food
from patients.models import Avoid, Condition, DietItem, EnergyFactor
from patients.overview import avoided_foods, patient_page
from patients.plan_queries import dog_of
from tests import cast

TODAY = timezone.localdate()
pytestmark = pytest.mark.django_db


def weighed(**findings):
    dog = cast.make_patient()
    return dog, cast.make_visit(dog, **findings)


def methods(dog) -> dict:
    return {row.choice.key: row.choice for row in patient_page(dog, TODAY).energy.rows}


def test_a_dog_that_was_never_weighed():
    page = patient_page(cast.make_patient(), TODAY)
    assert (page.visit, page.energy, page.plan, page.weights) == (None, None, None, [])


def test_ideal_weight_at_both_steps_a_point():
    dog, _ = weighed(weight_kg=18.4, bcs=7)
    energy = patient_page(dog, TODAY).energy
    assert energy.ideal_kg == pytest.approx(18.4 / 1.2)  # 2 points at 10 %
    assert energy.ideal_kg_by_15 == pytest.approx(18.4 / 1.3)  # 2 points at 15 %
    # 70 x 18.4^0.75: square root of 18.4 is 4.28952, its square root 2.07112; 4.28952 x 2.07112 = 8.88411
    assert energy.resting_kcal == pytest.approx(70 * 8.88411, rel=1e-5)


def test_the_methods_stand_side_by_side_with_a_tenth_for_extras():
    dog, _ = weighed(weight_kg=16.0, bcs=5)
    rows = {row.choice.key: row for row in patient_page(dog, TODAY).energy.rows}
    neutered = rows["der-neutered-adult"]
    assert neutered.choice.kcal == pytest.approx(1.6 * 70 * 8)  # 16^0.75 = 8
    assert neutered.extras_kcal == pytest.approx(0.1 * 1.6 * 70 * 8)
    inactive = rows["der-inactive"]  # a range without a usual value
    assert (inactive.choice.kcal, inactive.extras_kcal) == (None, None)
    assert inactive.choice.low_kcal == pytest.approx(1.2 * 70 * 8)
    assert "observed" not in rows


def test_a_whole_diet_is_the_observed_intake_and_a_part_is_not():
    dog, visit = weighed(date=TODAY - timedelta(days=14))
    cast.make_visit(dog, kind="recheck", date=TODAY)
    DietItem.objects.create(visit=visit, what="dry food", kcal_per_day=900)
    assert next(iter(methods(dog).values())).kcal == 900
    DietItem.objects.create(visit=visit, what="crusts", kind="table")
    assert patient_page(dog, TODAY).intake.unknown == ("crusts",)
    assert "observed" not in methods(dog)


@pytest.mark.parametrize(
    ("kg", "days", "offered"),
    [
        (20.0, 14, True),
        (19.8, 14, True),
        (20.2, 14, True),
        (19.7, 14, False),
        (20.3, 14, False),
        (20.0, 0, False),
    ],
)
def test_the_observed_intake_is_a_method_only_while_the_weight_is_steady(kg, days, offered):
    """Half a percent of 20 kg a week: 0.2 kg in a fortnight; a single day shows nothing."""
    dog, visit = weighed(weight_kg=20.0, date=TODAY - timedelta(days=days))
    DietItem.objects.create(visit=visit, what="dry food", kcal_per_day=900)
    cast.make_visit(dog, kind="recheck", date=TODAY, weight_kg=kg)
    assert ("observed" in methods(dog)) == offered


def test_the_observed_intake_is_no_method_at_the_first_visit_or_for_a_puppy():
    dog, visit = weighed()
    DietItem.objects.create(visit=visit, what="dry food", kcal_per_day=900)
    puppy = cast.make_patient(born=TODAY - timedelta(days=200), expected_adult_kg=30.0)
    first = cast.make_visit(puppy, weight_kg=20.0, date=TODAY - timedelta(days=14))
    DietItem.objects.create(visit=first, what="dry food", kcal_per_day=900)
    cast.make_visit(puppy, kind="recheck", weight_kg=20.0, date=TODAY)
    assert "observed" not in methods(dog) | methods(puppy)


@pytest.mark.parametrize(
    ("months", "offered"),
    [
        (3, {"der-puppy-to-4-months"}),
        (5, {"der-puppy-from-4-months"}),
        (30, {"fediaf-1-2-years"}),
        (40, {"fediaf-3-7-years"}),
        (90, {"fediaf-3-7-years"}),
        (100, {"fediaf-over-7-years"}),
    ],
)
def test_a_factor_for_an_age_is_offered_at_that_age(months, offered):
    """The ages stand in the factors' published labels: 3-7 years holds until the eighth birthday."""
    dog = cast.make_patient(born=TODAY - timedelta(days=months * 30.5), expected_adult_kg=20.0)
    cast.make_visit(dog, weight_kg=8.0)
    of_an_age = set(EnergyFactor.objects.filter(holds_by="months").values_list("key", flat=True))
    assert set(methods(dog)) & of_an_age == offered


def test_a_puppy_has_no_ideal_weight():
    puppy = cast.make_patient(born=TODAY - timedelta(days=100), expected_adult_kg=30.0)
    cast.make_visit(puppy, weight_kg=10.0)
    energy = patient_page(puppy, TODAY).energy
    assert (energy.ideal_kg, energy.ideal_kg_by_15, energy.resting_kcal_at_ideal) == (None, None, None)
    # a third of its adult weight: 210 kcal per kg^0.75; 10^0.75 = 5.62341
    by_share = next(row.choice for row in energy.rows if row.choice.key == "growth-fediaf")
    assert by_share.kcal == pytest.approx(210 * 5.62341, rel=1e-5)


def test_a_puppy_above_its_expected_weight_is_told_and_nothing_guessed():
    puppy = cast.make_patient(born=TODAY - timedelta(days=100), expected_adult_kg=9.0)
    cast.make_visit(puppy, weight_kg=10.0)
    energy = patient_page(puppy, TODAY).energy
    assert energy.rows == []
    assert "more than its expected adult weight" in energy.problem


def test_conditions_bring_their_cautions():
    dog, _ = weighed()
    assert patient_page(dog, TODAY).cautions.rows == []
    Condition.objects.create(patient=dog, name="kidney disease, stage 2")
    assert "chronic kidney disease" in [row.caution.subject for row in patient_page(dog, TODAY).cautions.rows]


def test_a_word_that_means_no_food_is_noticed():
    dog = cast.make_patient()
    food = Food.objects.get(name="Ground turkey, 93% lean, raw")
    for avoid in ({"word": "turkey"}, {"word": "turrkey"}, {"food": food}):
        Avoid.objects.create(patient=dog, **avoid)
    turkey, misspelt, one = avoided_foods(dog_of(dog, TODAY).avoids)
    by_name = [f for f in Food.objects.all() if "turkey" in f"{f.name} {f.group}".lower()]
    assert (turkey.foods, misspelt.foods, one.foods) == (len(by_name), 0, 1)


def test_a_doubtful_weight():
    dog, _ = weighed(weight_kg=18.4, date=TODAY - timedelta(days=14))
    assert patient_page(dog, TODAY).doubtful is None
    cast.make_visit(dog, kind="recheck", date=TODAY, weight_kg=40.5)
    assert patient_page(dog, TODAY).doubtful.kg == 40.5


def test_a_growing_dog_may_double_its_weight():
    puppy = cast.make_patient(born=TODAY - timedelta(days=100))
    cast.make_visit(puppy, weight_kg=5.0, date=TODAY - timedelta(days=30))
    cast.make_visit(puppy, kind="recheck", weight_kg=10.0, date=TODAY)
    assert patient_page(puppy, TODAY).doubtful is None
