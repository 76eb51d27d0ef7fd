"""A record is written whole or not at all."""

from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from nutrients.models import Food
from patients import intake, recheck_services
from patients.models import Avoid, Condition, DietItem, Owner, Patient, Visit
from tests import cast

TODAY = timezone.localdate()
pytestmark = pytest.mark.django_db


def unsaved_dog(**particulars) -> Patient:
    return Patient(
        **{"name": "Juniper", "breed": "hound cross", "sex": "female", "born": TODAY - timedelta(days=2000)}
        | particulars
    )


def admit(**parts):
    defaults = {
        "owner": Owner(name="Tilda Marrow"),
        "patient": unsaved_dog(),
        "conditions": [Condition(name="arthritis")],
        "avoids": [Avoid(word="chicken", reason="itching")],
        "visit": Visit(date=TODAY, weight_kg=18.4, bcs=7),
        "diet_items": [DietItem(what="dry food", kcal_per_day=600), DietItem(what="crusts")],
    }
    return intake.admit(**(defaults | parts))


def test_a_whole_intake():
    dog = admit()
    visit = dog.visits.get()
    assert (dog.owner.name, visit.kind, visit.weight_kg) == ("Tilda Marrow", "intake", 18.4)
    assert [item.kcal_per_day for item in visit.diet_items.order_by("pk")] == [600, None]
    assert dog.conditions.get().name == "arthritis"
    assert (dog.avoids.get().word, dog.avoids.get().reason) == ("chicken", "itching")


def test_an_owner_on_file_is_not_made_again():
    owner = cast.make_owner()
    assert admit(owner=owner).owner == owner
    assert Owner.objects.count() == 1


def test_a_dog_is_taken_on_once():
    admit()
    with pytest.raises(ValidationError, match="Juniper of Tilda Marrow, with this birth date, is on record"):
        admit()
    assert (Patient.objects.count(), Owner.objects.count()) == (1, 1)
    admit(owner=Owner(name="Orla Fennimore"))
    assert Patient.objects.count() == 2


@pytest.mark.parametrize(
    "parts",
    [
        {"owner": Owner(name="")},
        {"patient": unsaved_dog(breed="")},
        {"conditions": [Condition(name="")]},
        {"avoids": [Avoid(word="")]},
        {"visit": Visit(date=TODAY, weight_kg=0.1, bcs=7)},
        {"visit": Visit(date=TODAY, weight_kg=18.4, bcs=10)},
        {"visit": Visit(date=TODAY + timedelta(days=1), weight_kg=18.4, bcs=5)},
        {"visit": Visit(date=TODAY - timedelta(days=3000), weight_kg=18.4, bcs=5)},
        {"diet_items": [DietItem(what="dry food", kcal_per_day=-1)]},
    ],
)
def test_nothing_is_written_when_a_part_is_wrong(parts):
    with pytest.raises(ValidationError):
        admit(**parts)
    for model in (Owner, Patient, Condition, Avoid, Visit, DietItem):
        assert not model.objects.exists()


def test_amending_replaces_conditions_and_foods_to_avoid():
    dog = admit()
    food = Food.objects.first()
    intake.amend(patient=dog, conditions=[Condition(name="diabetes")], avoids=[Avoid(food=food)])
    assert [c.name for c in dog.conditions.all()] == ["diabetes"]
    assert [a.food for a in dog.avoids.all()] == [food]


def test_a_recheck_sets_the_next_day_and_replaces_the_diet_told():
    dog = admit()
    visit = Visit(patient=dog, date=TODAY, weight_kg=18.0, bcs=6)
    due = TODAY + timedelta(days=28)
    recheck_services.record_recheck(visit=visit, diet_items=[DietItem(what="new food")], next_recheck=due)
    dog.refresh_from_db()
    assert (dog.next_recheck, visit.diet_items.get().what) == (due, "new food")
    intake.record_visit(visit=visit, diet_items=[])
    assert not visit.diet_items.exists()
    assert DietItem.objects.count() == 2  # those of the intake stay
