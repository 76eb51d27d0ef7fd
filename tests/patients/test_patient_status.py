"""Only dogs in the practice's care are offered for feeding."""

from datetime import date

import pytest

from patients import library_dogs
from patients.models import Owner, Patient

pytestmark = pytest.mark.django_db


def test_only_active_dogs_are_fed():
    owner = Owner.objects.create(name="Ada")
    dogs = {
        status: Patient.objects.create(
            owner=owner, name=status, breed="mixed", sex="female", born=date(2020, 5, 1), status=status
        )
        for status in ("active", "archived", "deceased")
    }
    assert list(Patient.objects.fed()) == [dogs["active"]]
    assert library_dogs.choices() == [(dogs["active"].pk, "active (Ada)")]
    assert library_dogs.find(dogs["active"].pk) is not None
    assert library_dogs.find(dogs["archived"].pk) is None
    assert library_dogs.find(dogs["deceased"].pk) is None
