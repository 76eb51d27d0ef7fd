"""The dogs for which the library can be looked at."""

from datetime import timedelta

import pytest
from django.utils import timezone

from nutrients import queries as nutrients
from nutrients.models import Food, Profile
from patients.models import Condition, Plan
from recipes import dogs
from tests import cast

pytestmark = pytest.mark.django_db

PUPPY = {"born": timezone.localdate() - timedelta(days=150), "expected_adult_kg": 12.0}


def found(patient) -> dogs.LibraryDog:
    return dogs.dog(str(patient.pk))


def test_every_dog_is_offered_by_its_name_with_its_owner():
    owner = cast.make_owner("Oda Fennel")
    willow, alder = (cast.make_patient(owner, name=name) for name in ("Willow", "Alder"))
    assert dogs.choices() == [(alder.pk, "Alder (Oda Fennel)"), (willow.pk, "Willow (Oda Fennel)")]
    assert found(alder).label == "Alder (Oda Fennel)"


@pytest.mark.parametrize("asked", ["", "x", "-1", "0", "1.5", "9" * 40])
def test_what_was_typed_may_be_no_dog(asked):
    assert dogs.dog(asked) is None


def test_the_energy_is_the_recipes_share_of_the_present_plan_and_the_weight_its_target():
    patient, version = cast.make_patient(), cast.make_recipe()
    cast.make_plan(patient, version, state=Plan.State.ENDED, kcal_per_day=500, target_kg=9)
    cast.make_plan(patient, version, kcal_per_day=1000, extras_kcal=80, recipe_share=0.5, target_kg=17)
    dog = found(patient)
    assert dog.kcal_per_day == pytest.approx(460)  # (1000 - 80) x 0.5
    assert dog.weight_kg == 17


def test_minima_are_raised_by_all_that_the_dog_eats():
    """NRC 2006 allows an adult 2 mg zinc per kg^0.75 a day: at 8 kg^0.75 and 500 kcal 32 mg per 1000 kcal.

    AAFCO asks for 20 mg per 1000 kcal. Half of the energy from other food changes nothing.
    """
    patient = cast.make_patient()
    cast.make_plan(patient, cast.make_recipe(), kcal_per_day=500, recipe_share=0.5, target_kg=16)
    adult = nutrients.profile_limits(Profile.objects.get(key="aafco-adult"))
    raised = found(patient).raised(adult).limits
    assert adult.limits.at["zinc", "minimum"] == 20
    assert raised.at["zinc", "minimum"] == pytest.approx(32)
    assert raised.at["zinc", "raised"]


def test_a_plan_whose_numbers_cannot_be_right_gives_no_energy():
    patient = cast.make_patient()
    cast.make_plan(patient, cast.make_recipe(), kcal_per_day=1000, extras_kcal=400)
    assert (found(patient).kcal_per_day, found(patient).raised) == (None, None)


def test_without_a_plan_a_grown_dogs_ideal_weight_counts_and_no_energy_is_known():
    patient = cast.make_patient()
    assert (found(patient).kcal_per_day, found(patient).weight_kg) == (None, None)
    cast.make_visit(patient, weight_kg=24, bcs=7)
    assert found(patient).weight_kg == pytest.approx(20)  # 24 / (1 + 10 % x 2)


def test_a_growing_dog_goes_by_its_own_weight_and_one_profile():
    patient = cast.make_patient(**PUPPY)
    cast.make_visit(patient, weight_kg=6, bcs=7)
    dog = found(patient)
    assert (dog.weight_kg, dog.profile_keys) == (6, ("aafco-growth",))


def test_a_grown_dog_may_go_by_any_published_profile_for_adults():
    patient = cast.make_patient()
    assert found(patient).profile_keys == (
        "aafco-adult",
        "fediaf-adult-110",
        "fediaf-adult-95",
        "nrc-adult",
    )
    Condition.objects.create(patient=patient, name="Pregnant, week 5")
    assert found(patient).profile_keys == ("aafco-growth",)


def test_foods_to_avoid_are_named_with_the_reason():
    patient = cast.make_patient(name="Alder")
    patient.avoids.create(word="turkey", reason="itches")
    patient.avoids.create(food=Food.objects.get(name="Ground turkey, 93% lean, raw"))
    avoided = found(patient).avoided({"Turkey liver": "organ", "Barley": "grain"})
    assert avoided == {
        "Turkey liver": "Turkey liver is on the list of foods Alder must avoid: turkey (itches)."
    }


def test_what_is_poisonous_is_blocked_and_a_sign_off_is_not():
    patient = cast.make_patient()
    Condition.objects.create(patient=patient, name="pancreatitis")
    blocked = found(patient).blocked
    assert blocked({"Barley, cooked": "grain", "Salmon, raw": "fish & shellfish"}) == []
    [sentence] = blocked({"Barley, cooked": "grain", "Onion powder": "vegetable"})
    assert sentence.startswith("Onion powder: onion")


def test_many_recipes_are_asked_about_with_one_look_at_each_food(django_assert_num_queries):
    blocked = found(cast.make_patient()).blocked
    blocked({"Grapes": "fruit", "Barley": "grain"})
    with django_assert_num_queries(0):
        assert len(blocked({"Grapes": "fruit"})) == 1
