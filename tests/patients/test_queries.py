"""The list of dogs, and what is read for one."""

from datetime import timedelta

import pytest
from django.utils import timezone

from patients.models import DietItem, Patient, Plan
from patients.queries import last_diet, listed, present_plan, weights_of
from patients.search import patients_matching
from tests import cast

TODAY = timezone.localdate()
pytestmark = pytest.mark.django_db


@pytest.fixture
def dogs():
    tilda, orla = cast.make_owner("Tilda Marrow"), cast.make_owner("Orla Fennimore")
    orla.phone = "01 555 0122"
    orla.save()
    return [
        cast.make_patient(tilda, name="Juniper", breed="hound cross"),
        cast.make_patient(orla, name="Bramble", breed="collie cross"),
    ]


@pytest.mark.parametrize(
    ("words", "names"),
    [
        ("", ["Bramble", "Juniper"]),
        ("junip", ["Juniper"]),
        ("COLLIE", ["Bramble"]),
        ("cross", ["Bramble", "Juniper"]),
        ("fennimore", ["Bramble"]),
        ("0122", ["Bramble"]),
        ("01 555 0122", ["Bramble"]),
        ("cross marrow", ["Juniper"]),
        ("juniper fennimore", []),
    ],
)
def test_dogs_are_found_by_every_word(dogs, words, names):
    assert [dog.name for dog in patients_matching(words)] == names


def test_the_list_shows_the_last_visit_and_the_plan_that_is_fed(dogs):
    juniper = dogs[0]
    cast.make_visit(juniper, date=TODAY, kind="recheck", weight_kg=18.0)
    cast.make_visit(juniper, date=TODAY - timedelta(days=30), weight_kg=18.8)
    version = cast.make_recipe()
    fed = cast.make_plan(juniper, version, state=Plan.State.ISSUED)
    cast.make_plan(juniper, version)  # a later draft
    bramble, row = listed(Patient.objects.order_by("name"))
    assert (row.visit.weight_kg, row.plan) == (18.0, fed)
    assert (bramble.visit, bramble.plan) == (None, None)


def test_the_list_asks_the_database_as_often_for_many_dogs(dogs, django_assert_num_queries):
    version = cast.make_recipe()
    for number in range(6):
        dog = cast.make_patient(dogs[0].owner, name=f"Dog {number}")
        cast.make_visit(dog)
        cast.make_plan(dog, version)
    with django_assert_num_queries(3):
        rows = listed(patients_matching(""))
        told = [(r.patient.owner.name, r.plan and r.plan.recipe_version.recipe.title) for r in rows]
    assert len(told) == 8


def test_a_draft_stands_in_until_a_plan_is_issued_and_an_ended_one_never(dogs):
    dog, version = dogs[0], cast.make_recipe()
    assert present_plan(dog) is None
    cast.make_plan(dog, version, state=Plan.State.ENDED)
    assert present_plan(dog) is None
    draft = cast.make_plan(dog, version)
    assert present_plan(dog) == draft


def test_weights_come_in_order_with_their_changes(dogs):
    cast.make_visit(dogs[0], date=TODAY, kind="recheck", weight_kg=18.0)
    cast.make_visit(dogs[0], date=TODAY - timedelta(days=14), weight_kg=20.0)
    first, last = weights_of(dogs[0])
    assert (first.visit.weight_kg, first.entry.change_kg) == (20.0, None)
    assert (last.visit.weight_kg, last.entry.percent) == (18.0, pytest.approx(-10.0))


def test_the_diet_is_that_of_the_last_visit_at_which_it_was_asked(dogs):
    old = cast.make_visit(dogs[0], date=TODAY - timedelta(days=60))
    asked = cast.make_visit(dogs[0], date=TODAY - timedelta(days=30), kind="recheck")
    cast.make_visit(dogs[0], date=TODAY, kind="weigh_in")
    DietItem.objects.create(visit=old, what="dry food", kcal_per_day=800)
    for what in ("dry food", "biscuit"):
        DietItem.objects.create(visit=asked, what=what)
    assert [item.what for item in last_diet(dogs[0])] == ["dry food", "biscuit"]
    assert last_diet(dogs[1]) == []
