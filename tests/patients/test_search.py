"""The search for dogs, and the list's filters."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from patients.models import Condition, Patient
from patients.search import folded, patients_matching
from patients.services import issue_sheet
from tests import cast
from tests.patients.feeding import make_practice, make_whole_plan

pytestmark = pytest.mark.django_db
LIST = "patients:patient-list"


@pytest.fixture
def bear(practitioner):
    owner = cast.make_owner("Tilda Marrow")
    owner.second_name, owner.phone, owner.email = "Søren Ångquist", "+44 1234 555-010", "tilda@post.example"
    owner.save()
    dog = cast.make_patient(owner, name="Bär", breed="Pyrénées cross", microchip="900000000000017")
    Condition.objects.create(patient=dog, name="Pancréatitis")
    other = cast.make_owner("Anselm Quill")
    other.phone = "07 999"
    other.save()
    cast.make_patient(other, name="Pepper", breed="terrier")
    return dog


@pytest.mark.parametrize(
    "words",
    ["bar", "BÄR", "pyrenees", "tilda", "marrow", "angquist", "1234555010", "555 010", "555-010",
     "tilda@post", "0000017", "pancreatitis", "bar marrow", "marrow pancre"],
)  # fmt: skip
def test_a_dog_is_found_by_all_that_is_known_of_it(bear, words):
    assert list(patients_matching(words)) == [bear]


@pytest.mark.parametrize("words", ["bar quill", "zz", "02", "%", "_", "'; drop table", "\\"])
def test_every_word_must_stand_somewhere(bear, words):
    assert bear not in patients_matching(words)


def test_no_words_find_all(bear):
    assert patients_matching("  ").count() == 2


def test_letters_are_folded():
    assert folded("Ångström ÉÈ") == "angstrom ee"


def names(client, **asked) -> list[str]:
    return [row.patient.name for row in client.get(reverse(LIST), asked).context["listed"]]


def test_only_dogs_in_care_are_listed_until_others_are_asked_for(signed_in, bear):
    Patient.objects.filter(name="Pepper").update(status="deceased")
    assert names(signed_in) == ["Bär"]
    assert names(signed_in, status="deceased") == ["Pepper"]
    assert names(signed_in, status="all") == ["Bär", "Pepper"]


def test_what_a_dog_waits_for(signed_in, bear, practitioner):
    bear.next_recheck = timezone.localdate() - timedelta(days=1)
    bear.save()
    assert names(signed_in, waits="recheck") == ["Bär"]
    plan = make_whole_plan(practitioner, dog={"name": "Juniper"})
    assert names(signed_in, waits="plan") == ["Bär", "Pepper"]
    assert names(signed_in, goal="hold") == ["Juniper"]
    assert names(signed_in, goal="lose") == []
    issue_sheet(plan=plan, by=practitioner, practice=make_practice(), acknowledged=True)
    assert names(signed_in, waits="sheet") == []


def test_the_life_stage(signed_in, bear):
    puppy = cast.make_patient(bear.owner, name="Pip", born=timezone.localdate() - timedelta(weeks=10))
    assert names(signed_in, stage="growing") == names(signed_in, stage="early") == ["Pip"]
    assert names(signed_in, stage="adult") == ["Bär", "Pepper"]
    Patient.objects.filter(pk=puppy.pk).update(stage_by_hand="senior")
    assert names(signed_in, stage="growing") == []
    assert "No dog is so" in signed_in.get(reverse(LIST), {"stage": "growing"}).text
    file = signed_in.get(reverse("patients:patient-csv"), {"stage": "senior"}).content.decode("utf-8-sig")
    assert [row.split(",")[0] for row in file.splitlines()[1:]] == ["Pip"]


def test_the_order(signed_in, bear):
    assert names(signed_in, order="owner") == ["Pepper", "Bär"]
    assert names(signed_in, order="newest") == ["Pepper", "Bär"]


@pytest.mark.parametrize(
    "asked",
    [{"status": "x"}, {"goal": "y" * 5000}, {"order": "-pk"}, {"stage": "y"}, {"waits": "\0"}, {"q": "\0\0"},
     {"page": "9" * 5000}, {"q": "%" * 300}],
)  # fmt: skip
def test_absurd_questions_are_passed_over(signed_in, bear, asked):
    assert signed_in.get(reverse(LIST), asked).status_code == 200


def test_nothing_found_says_what_to_do(signed_in, bear):
    assert "show all dogs in care" in signed_in.get(reverse(LIST), {"q": "zzz"}).text


def test_the_file_follows_the_list(signed_in, bear):
    rows = (
        signed_in.get(reverse("patients:patient-csv"), {"q": "bar"}).content.decode("utf-8-sig").splitlines()
    )
    assert len(rows) == 2
    assert rows[1].startswith("Bär")


def test_more_dogs_take_no_more_questions(signed_in, bear, django_assert_max_num_queries):
    for number in range(30):
        cast.make_patient(bear.owner, name=f"Dog {number}")
    with django_assert_max_num_queries(12):
        signed_in.get(reverse(LIST), {"q": "marrow"})
