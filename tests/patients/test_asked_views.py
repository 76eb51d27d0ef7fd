"""Addresses that hold nonsense where a key belongs: nothing is found, and nothing breaks."""

import pytest
from django.urls import reverse

from tests import cast
from tests.patients.feeding import make_whole_plan

pytestmark = pytest.mark.django_db
NONSENSE = ["9" * 5000, "-1", "x", "\0", "٣"]


@pytest.mark.parametrize("asked", NONSENSE)
def test_an_owner_that_cannot_be(signed_in, asked):
    assert signed_in.get(reverse("patients:patient-new"), {"owner": asked}).status_code == 200


@pytest.mark.parametrize("asked", NONSENSE)
def test_a_plan_that_cannot_be(signed_in, practitioner, asked):
    plan = make_whole_plan(practitioner)
    page = reverse("patients:plan-preview", args=[plan.patient_id])
    assert signed_in.post(f"{page}?plan={asked}", {}).status_code == 200


@pytest.mark.parametrize("asked", NONSENSE)
def test_a_correction_that_cannot_be(signed_in, asked):
    answer = signed_in.post(reverse("patients:recall-look-into"), {"kind": "value", "entry": asked})
    assert answer.status_code == 404


@pytest.mark.parametrize("asked", NONSENSE)
def test_an_owner_to_give_a_dog_to_that_cannot_be(signed_in, asked):
    dog = cast.make_patient()
    page = reverse("patients:patient-give-over", args=[dog.pk])
    assert signed_in.get(page, {"to": asked}).status_code == 200


def test_a_number_too_long_for_a_record_is_no_page(signed_in):
    assert signed_in.get(f"/patients/{'9' * 5000}/").status_code == 404
    assert signed_in.get(f"/patients/{'9' * 30}/").status_code == 404
