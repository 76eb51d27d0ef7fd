"""Bad input into the forms of dogs and visits: said beside the field, kept, and nothing written."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from patients.models import Owner, Patient, Visit
from tests import cast
from tests.patients.typed import typed_diet, typed_dog, typed_intake, typed_visit

TODAY = timezone.localdate()
TOMORROW = (TODAY + timedelta(days=1)).isoformat()
YESTERDAY = (TODAY - timedelta(days=1)).isoformat()
NEW = "/patients/new/"

BAD_WEIGHTS = [
    ("0", "kg", "above 0"),
    ("-4", "kg", "above 0"),
    ("abc", "kg", "in figures"),
    ("NaN", "kg", "in figures"),
    ("130", "kg", "at most 120 kg"),
    ("300", "lb", "300 lb were typed"),
    ("0.1", "kg", "at least 0.2 kg"),
    ("", "kg", "Enter the weight"),
]


def refused(client, url, data, field, message):
    """Post bad input; the answer says the message at the field and keeps all that was typed."""
    before = (Owner.objects.count(), Patient.objects.count(), Visit.objects.count())
    answer = client.post(url, data)
    assert answer.status_code == 200
    page = answer.content.decode()
    assert f'id="id_{field}_error"' in page
    error = page.split(f'id="id_{field}_error">')[1].split("</p>")[0]
    assert message in error, error
    assert "Nothing was saved yet" in page
    for typed in data.values():
        if typed and "\n" not in typed:
            assert f"{typed}" in page
    assert (Owner.objects.count(), Patient.objects.count(), Visit.objects.count()) == before
    return page


@pytest.mark.parametrize(("weight", "unit", "message"), BAD_WEIGHTS)
def test_an_intake_with_a_bad_weight(signed_in, weight, unit, message):
    data = typed_intake(**{"visit-weight_kg": weight, "visit-weight_kg_unit": unit})
    page = refused(signed_in, NEW, data, "visit-weight_kg", message)
    assert f'value="{weight}"' in page or not weight


@pytest.mark.parametrize(
    ("typed", "field", "message"),
    [
        ({"owner-name": ""}, "owner-name", "Choose an owner on file, or type the name"),
        ({"name": ""}, "name", "required"),
        ({"name": "\u200b\u200d "}, "name", "required"),  # nothing that is seen
        ({"next_recheck": "9999-12-31"}, "next_recheck", "more than two years ahead"),
        ({"born": TOMORROW}, "born", "lies in the future"),
        ({"conditions": "pregnant"}, "conditions", "neutered on record and cannot be pregnant"),
        ({"conditions": "nursing", "sex": "male"}, "conditions", "on record as male"),
        ({"born": ""}, "born", "or about how old the dog is"),
        ({"about_age": "7"}, "about_age", "not both"),
        ({"born": "", "about_age": "31", "about_age_unit": "years"}, "about_age", "older than 30 years"),
        ({"born": "", "about_age": "old", "about_age_unit": "years"}, "about_age", "in figures"),
        ({"born": "", "about_age": "1e9", "about_age_unit": "weeks"}, "about_age", "in figures"),
        ({"born": "1919-03-01"}, "born", "older than 30 years"),
        ({"born": TODAY.isoformat(), "visit-date": YESTERDAY}, "born", "lies before this birth date"),
        ({"born": YESTERDAY, "expected_adult_kg": "12"}, "expected_adult_kg", "more than the 12.0 kg"),
        ({"expected_adult_kg": "200"}, "expected_adult_kg", "at most 120 kg"),
        ({"next_recheck": YESTERDAY}, "next_recheck", "must lie in the future"),
        ({"next_recheck": TODAY.isoformat()}, "next_recheck", "must lie in the future"),
        ({"conditions": "x" * 121}, "conditions", "at most 120"),
        ({"avoids-0-what": ""}, "avoids-0-what", "Name the food"),
        ({"avoids-0-what": "x" * 61}, "avoids-0-what", "At most 60 characters"),
        ({"cooker_litres": "45", "cooker_litres_unit": "qt"}, "cooker_litres", "That is 42.6 litres"),
        ({"cooker_litres": "0.2", "cooker_litres_unit": "l"}, "cooker_litres", "enter 0.5 to 30 litres"),
        ({"microchip": "12 34"}, "microchip", "15 digits"),
        ({"neutered_on": "2019-02-28"}, "neutered_on", "before the birth date"),
        ({"neutered_on": TOMORROW}, "neutered_on", "lies in the future"),
        ({"neutered_on": YESTERDAY, "neutered": ""}, "neutered_on", "Tick “neutered” too"),
        ({"owner-consented_on": TOMORROW}, "owner-consented_on", "lies in the future"),
        ({"visit-activity_minutes": "1500"}, "visit-activity_minutes", "1440"),
        ({"visit-activity_minutes": "-1"}, "visit-activity_minutes", "0"),
        ({"medicines-0-reason": "itching"}, "medicines-0-name", "Name the medicine"),
        ({"given_supplements-0-amount": "2"}, "given_supplements-0-name", "Name the supplement"),
        (
            {
                "medicines-0-name": "prednisolone",
                "medicines-0-started_on": "2024-05-02",
                "medicines-0-ended_on": "2024-05-01",
            },
            "medicines-0-ended_on",
            "before the first one",
        ),
        (
            {"medicines-0-name": "prednisolone", "medicines-0-started_on": "2018-05-02"},
            "medicines-0-started_on",
            "not born yet",
        ),
        ({"lab_results-0-what": "ALT"}, "lab_results-0-value", "as the laboratory wrote it"),
        (
            {"lab_results-0-what": "ALT", "lab_results-0-value": "60", "lab_results-0-date": TOMORROW},
            "lab_results-0-date",
            "lies in the future",
        ),
        (
            {"lab_results-0-what": "ALT", "lab_results-0-value": "60", "lab_results-0-date": "2018-01-01"},
            "lab_results-0-date",
            "not born yet",
        ),
        ({"visit-bcs": "0"}, "visit-bcs", "from 1 to 9"),
        ({"visit-bcs": "10"}, "visit-bcs", "from 1 to 9"),
        ({"visit-bcs": "4.5"}, "visit-bcs", "from 1 to 9"),
        ({"visit-date": TOMORROW}, "visit-date", "lies in the future"),
        ({"diet-0-kcal_per_day": "-5"}, "diet-0-kcal_per_day", "Enter 0 or more."),
        ({"diet-0-kcal_per_day": "1,200"}, "diet-0-kcal_per_day", "write 1200 or 1.200"),
        ({"diet-0-what": ""}, "diet-0-what", "Say what it is"),
    ],
)
def test_an_intake_with_bad_input(signed_in, typed, field, message):
    refused(signed_in, NEW, typed_intake(**typed), field, message)


def test_a_faecal_score_that_does_not_exist(signed_in):
    answer = signed_in.post(NEW, typed_intake(**{"visit-faecal_score": "8"}))
    assert "A faecal score is a whole number from 1 (hard) to 7 (watery)." in answer.content.decode()
    assert not Patient.objects.exists()


def test_an_owner_is_chosen_or_typed_not_both(signed_in):
    owner = cast.make_owner("Orla Fennimore")
    data = typed_intake(**{"owner-on_file": str(owner.pk)})
    refused(signed_in, NEW, data, "owner-on_file", "Choose Orla Fennimore or type a new owner, not both")


def test_every_fault_is_told_at_once(signed_in):
    page = signed_in.post(NEW, typed_intake(name="", **{"visit-bcs": "0"})).content.decode()
    assert 'href="#id_name"' in page
    assert 'href="#id_visit-bcs"' in page


def test_an_intake_sent_twice_makes_one_dog(signed_in):
    assert signed_in.post(NEW, typed_intake()).status_code == 302
    again = signed_in.post(NEW, typed_intake())
    assert again.status_code == 200
    assert "Juniper of Tilda Marrow, with this birth date, is on record already." in again.content.decode()
    assert (Patient.objects.count(), Owner.objects.count()) == (1, 1)


def test_a_visit_written_by_another_person_meanwhile(signed_in, dog, monkeypatch):
    """Between the check of the form and the writing somebody else records the same visit."""
    cast.make_visit(dog, kind="recheck", date=TODAY)
    monkeypatch.setattr("patients.forms.VisitForm.clean", lambda form: None)
    url = reverse("patients:visit-new", args=[dog.pk])
    answer = signed_in.post(url, typed_visit(kind="recheck") | typed_diet())
    assert answer.status_code == 200
    assert "Nothing was saved yet" in answer.content.decode()
    assert dog.visits.count() == 2


def test_an_empty_post_is_an_invalid_form(signed_in):
    assert signed_in.post(NEW, {}).status_code == 200
    assert not Patient.objects.exists()


@pytest.fixture
def dog(db):
    patient = cast.make_patient()
    cast.make_visit(patient, date=TODAY - timedelta(days=14), weight_kg=18.8)
    return patient


@pytest.mark.parametrize(("weight", "unit", "message"), BAD_WEIGHTS)
def test_a_visit_with_a_bad_weight(signed_in, dog, weight, unit, message):
    data = typed_visit(weight_kg=weight, weight_kg_unit=unit, kind="recheck") | typed_diet()
    refused(signed_in, reverse("patients:visit-new", args=[dog.pk]), data, "weight_kg", message)


@pytest.mark.parametrize(
    ("typed", "field", "message"),
    [
        ({"date": TOMORROW}, "date", "lies in the future"),
        ({"date": "2001-01-01"}, "date", "was born on"),
        ({"date": "soon"}, "date", "valid date"),
        ({"bcs": "12"}, "bcs", "from 1 to 9"),
        ({"next_recheck": YESTERDAY}, "next_recheck", "must lie in the future"),
    ],
)
def test_a_visit_with_bad_input(signed_in, dog, typed, field, message):
    data = typed_visit(**({"kind": "recheck"} | typed)) | typed_diet(("dry food", "600"))
    refused(signed_in, reverse("patients:visit-new", args=[dog.pk]), data, field, message)


def test_a_second_visit_of_a_kind_on_a_day(signed_in, dog):
    cast.make_visit(dog, kind="recheck", date=TODAY)
    data = typed_visit(kind="recheck") | typed_diet()
    url = reverse("patients:visit-new", args=[dog.pk])
    refused(signed_in, url, data, "date", "already a visit of this kind (re-check)")
    assert signed_in.post(url, data | {"kind": "weigh_in"}).status_code == 302


def test_a_puppy_heavier_than_it_is_to_become(signed_in):
    puppy = cast.make_patient(born=TODAY - timedelta(days=100), expected_adult_kg=15.0)
    url = reverse("patients:visit-new", args=[puppy.pk])
    data = typed_visit(weight_kg="16", kind="recheck") | typed_diet()
    refused(signed_in, url, data, "weight_kg", "weighs 16.0 kg, more than the 15.0 kg expected")


def test_a_grown_dog_may_outweigh_what_was_expected(signed_in):
    grown = cast.make_patient(expected_adult_kg=15.0)
    url = reverse("patients:visit-new", args=[grown.pk])
    assert signed_in.post(url, typed_visit(weight_kg="16", kind="recheck") | typed_diet()).status_code == 302


def test_a_birth_date_after_a_visit(signed_in, dog):
    url = reverse("patients:patient-edit", args=[dog.pk])
    refused(signed_in, url, typed_dog(born=YESTERDAY), "born", "was already seen on")


def test_an_expected_weight_below_the_weight_of_a_puppy(signed_in):
    puppy = cast.make_patient(born=TODAY - timedelta(days=100))
    cast.make_visit(puppy, weight_kg=14.0)
    url = reverse("patients:patient-edit", args=[puppy.pk])
    data = typed_dog(born=(TODAY - timedelta(days=100)).isoformat(), expected_adult_kg="12")
    refused(signed_in, url, data, "expected_adult_kg", "weighs 14.0 kg, more than the 12.0 kg")


def test_an_overdue_day_does_not_hinder_mending_the_record(signed_in, dog):
    dog.next_recheck = TODAY - timedelta(days=3)
    dog.save()
    url = reverse("patients:patient-edit", args=[dog.pk])
    assert signed_in.post(url, typed_dog(next_recheck=dog.next_recheck.isoformat())).status_code == 302
    refused(signed_in, url, typed_dog(next_recheck=YESTERDAY), "next_recheck", "must lie in the future")
