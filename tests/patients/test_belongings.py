"""Every record that hangs on a dog or an owner is known, so that merging, export and erasure forget none."""

from datetime import date

import pytest
from django.apps import apps
from django.utils import timezone

from patients.belongings import belongings
from patients.models import Contact, DietItem, HomeWeighIn, Owner, Patient, Task, Visit
from tests import cast

OF_A_DOG = {
    "AgreedNumber": "sign_off__patient",
    "Avoid": "patient",
    "Condition": "patient",
    "Contact": "patient",
    "DietItem": "visit__patient",
    "GivenSupplement": "patient",
    "HomeWeighIn": "patient",
    "IntakeDraft": "patient",
    "LabResult": "patient",
    "Medicine": "patient",
    "Photo": "patient",
    "Plan": "patient",
    "RecallCall": "patient",
    "Sheet": "patient",
    "SheetWithdrawal": "sheet__patient",
    "SignOff": "patient",
    "SignOffLetter": "sign_off__patient",
    "TabletCount": "visit__patient",
    "Task": "patient",
    "Visit": "patient",
}


def ways(root) -> dict[str, str]:
    return {belonging.model.__name__: belonging.path for belonging in belongings(root)}


def test_what_belongs_to_a_dog_is_what_merging_export_and_erasure_were_made_for():
    """A new model is named here once all three do right by it."""
    assert ways(Patient) == OF_A_DOG


def test_what_belongs_to_an_owner_is_the_dogs_all_of_theirs_and_what_was_said():
    by_the_dogs = {name: f"{path}__owner" for name, path in OF_A_DOG.items()}
    assert ways(Owner) == by_the_dogs | {"Patient": "owner", "Contact": "owner", "Task": "owner"}


@pytest.mark.parametrize("root", [Owner, Patient])
def test_no_model_of_the_program_with_a_foreign_key_to_one_of_them_is_left_out(root):
    known = {belonging.model for belonging in belongings(root)}
    ours = [model for model in apps.get_models() if model.__module__.startswith(("patients.", "practice."))]
    for model in ours:
        for field in model._meta.local_fields:
            if field.is_relation and field.related_model in known | {root}:
                assert model in known | {root} or hasattr(model, "instance_type"), f"{model} by {field.name}"


@pytest.mark.django_db
def test_the_records_of_one_dog_are_found_and_those_of_another_are_not():
    owner = cast.make_owner()
    dog, other = cast.make_patient(owner), cast.make_patient(owner, name="Sorrel")
    mine, _ = (DietItem.objects.create(visit=cast.make_visit(each), what="rice") for each in (dog, other))
    found = {belonging.model: list(belonging.of(dog)) for belonging in belongings(Patient)}
    assert found[DietItem] == [mine]
    assert found[Visit] == [mine.visit]


@pytest.mark.django_db
def test_past_states_are_found_also_of_what_is_gone():
    dog = cast.make_patient()
    HomeWeighIn.objects.create(patient=dog, date=date(2026, 1, 5), weight_kg=18.2).delete()
    HomeWeighIn.objects.create(patient=cast.make_patient(), date=date(2026, 1, 5), weight_kg=18.2).delete()
    weighed = next(belonging for belonging in belongings(Patient) if belonging.model is HomeWeighIn)
    assert [past.history_type for past in weighed.history_of(dog)] == ["-", "+"]
    assert all(belonging.past is None for belonging in belongings(Patient) if belonging.model is DietItem)


@pytest.mark.django_db
def test_what_was_said_belongs_to_the_owner_it_was_said_with():
    owner, before = cast.make_owner(), cast.make_owner("Bram Before")
    dog = cast.make_patient(owner)
    with_before = Contact.objects.create(owner=before, patient=dog, text="moves away", at=timezone.now())
    of_owner = {belonging.model: belonging for belonging in belongings(Owner)}
    assert list(of_owner[Contact].of(before)) == [with_before]
    assert not of_owner[Contact].of(owner).exists()
    assert not of_owner[Task].of(before).exists()
