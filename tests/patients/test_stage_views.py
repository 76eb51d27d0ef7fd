"""The page of a dog's life stage: what cannot be stands at its field, what was typed stays."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from patients.caution_page import cautions_on_page
from patients.forms import PatientForm
from patients.models import Patient
from patients.plan_queries import dog_of
from tests import cast

pytestmark = pytest.mark.django_db
TODAY = timezone.localdate()


def ago(days: int) -> str:
    return (TODAY - timedelta(days=days)).isoformat()


def bitch(**particulars) -> Patient:
    return cast.make_patient(**({"neutered": False, "name": "Tansy"} | particulars))


def page(dog) -> str:
    return reverse("patients:stage-edit", args=[dog.pk])


def test_a_mating_makes_her_pregnant_and_brings_profile_and_caution(signed_in):
    dog = bitch()
    assert signed_in.post(page(dog), {"mated_on": ago(30)}).status_code == 302
    found = dog_of(Patient.objects.get(pk=dog.pk), TODAY)
    assert (found.stage.label, found.profile_key) == ("pregnant, week 5", "aafco-growth")
    rows = cautions_on_page(dog, found, None).rows
    assert "pregnancy and lactation" in [row.caution.subject for row in rows]
    assert "pregnant, week 5" in signed_in.get(page(dog)).content.decode()


@pytest.mark.parametrize(
    ("particulars", "typed", "field"),
    [
        ({"neutered": True}, {"mated_on": ago(30)}, "mated_on"),
        ({}, {"whelped_on": ago(10), "litter": "x"}, "litter"),
        ({}, {"whelped_on": ago(10), "litter": "-1"}, "litter"),
        ({}, {"mated_on": "31.2.2026"}, "mated_on"),
        ({}, {"stage_by_hand": "working", "stage_reason": ""}, "stage_reason"),
        ({}, {"stage_by_hand": "asleep", "stage_reason": "x"}, "stage_by_hand"),
    ],
)
def test_what_cannot_be_is_refused_and_kept_in_the_form(signed_in, particulars, typed, field):
    dog = bitch(**particulars)
    answer = signed_in.post(page(dog), typed)
    assert answer.status_code == 200
    assert field in answer.context["form"].errors
    assert f'id="id_{field}_error"' in answer.content.decode()
    for value in (typed.get("mated_on"), typed.get("litter")):
        assert value is None or f'value="{value}"' in answer.content.decode()
    kept = Patient.objects.get(pk=dog.pk)
    assert (kept.mated_on, kept.whelped_on, kept.stage_by_hand) == (None, None, "")


def test_a_reason_goes_when_the_stage_follows_from_the_record_again(signed_in):
    dog = bitch(stage_by_hand="working", stage_reason="herds sheep")
    cast.make_visit(dog)
    assert "herds sheep" in signed_in.get(dog.get_absolute_url()).content.decode()
    signed_in.post(page(dog), {"stage_by_hand": "", "stage_reason": "herds sheep"})
    kept = Patient.objects.get(pk=dog.pk)
    assert (kept.stage_by_hand, kept.stage_reason) == ("", "")
    assert kept.history.count() == 2


def test_a_male_is_not_asked_for_puppies(signed_in):
    assert "mated_on" not in signed_in.get(page(bitch(sex="male"))).context["form"].fields
    stray = bitch(sex="male", name="Rowan", whelped_on=TODAY)  # to be cleared
    assert "whelped_on" in signed_in.get(page(stray)).context["form"].fields


@pytest.mark.parametrize(("changed", "field"), [({"neutered": "on"}, "neutered"), ({"sex": "male"}, "sex")])
def test_a_pregnant_dog_is_not_recorded_as_neutered_or_male(changed, field):
    dog = bitch(mated_on=TODAY - timedelta(days=30))
    as_it_is = {"name": "Tansy", "breed": dog.breed, "sex": "female", "born": str(dog.born)}
    assert field not in PatientForm(as_it_is, instance=dog).errors
    assert "Tansy is" in PatientForm(as_it_is | changed, instance=dog).errors[field][0]


def test_who_may_change_it(client, viewer, staff):
    dog = bitch()
    client.force_login(viewer)
    assert client.get(page(dog)).status_code == 403
    client.force_login(staff)
    assert client.get(page(dog)).status_code == 200
