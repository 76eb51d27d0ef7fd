"""The page on which a dog is taken on: kept as it is typed, offered again, and made into records once."""

from datetime import date, timedelta
from uuid import UUID

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from patients.models import IntakeDraft, LabResult, Owner, Patient, Photo, Visit
from patients.photos import MOST_BYTES
from tests import cast
from tests.patients.test_photos import picture
from tests.patients.typed import typed_dog, typed_intake, typed_rows

NEW, KEEP = "/patients/new/", "/patients/new/keep/"
KEY = "0b7c9b1e-52f5-4d5c-8a49-0d5a6f1f9a11"
TODAY = timezone.localdate()


def opened(client, key=KEY) -> str:
    return client.get(f"{NEW}?draft={key}").content.decode()


def half(**typed) -> dict:
    """An intake of which only the names were typed."""
    empty = dict.fromkeys(typed_dog(), "") | typed_rows("avoids") | typed_rows("medicines")
    empty |= typed_rows("given_supplements") | typed_rows("lab_results")
    empty |= {"diet-TOTAL_FORMS": "3", "diet-INITIAL_FORMS": "0", "visit-mcs": "normal", "draft": KEY}
    return empty | {"name": "Bramble", "owner-name": "Orla Fennimore"} | typed


def test_going_on_keeps_what_was_typed_and_leads_to_the_next_section(signed_in):
    answer = signed_in.post(NEW, half(go_on="dog"))
    assert answer.status_code == 302
    assert answer["Location"] == f"{NEW}?draft={KEY}#dog"
    page = opened(signed_in)
    assert 'value="Bramble"' in page
    assert 'value="Orla Fennimore"' in page
    assert "Bramble, an intake that is not finished yet" in page
    assert 'class="error"' not in page  # nothing is missing while it is being filled in
    assert not Patient.objects.exists()


def test_a_slip_is_told_as_soon_as_it_is_kept(signed_in):
    signed_in.post(NEW, half(go_on="medical", **{"visit-weight_kg": "abc", "visit-weight_kg_unit": "kg"}))
    page = opened(signed_in)
    assert "in figures" in page.split('id="id_visit-weight_kg_error">')[1].split("</p>")[0]
    assert page.count('class="error"') == 1
    assert 'value="abc"' in page


def test_an_unknown_place_is_led_nowhere(signed_in):
    assert signed_in.post(NEW, half(go_on="//elsewhere"))["Location"] == f"{NEW}?draft={KEY}"


def test_an_unfinished_intake_is_offered_again_until_it_is_finished(signed_in):
    assert "Not finished yet" not in signed_in.get(NEW).content.decode()
    signed_in.post(KEEP, half())
    page = signed_in.get(NEW).content.decode()
    assert f'href="{NEW}?draft={KEY}">the intake of Bramble, Orla Fennimore</a>' in page
    assert 'value="Bramble"' not in page
    assert signed_in.post(NEW, typed_intake(draft=KEY)).status_code == 302
    assert "Not finished yet" not in signed_in.get(NEW).content.decode()


def test_the_page_keeps_itself(signed_in):
    answer = signed_in.post(KEEP, half(), headers={"HX-Request": "true"}).content.decode()
    assert answer.strip().startswith('<p class="quiet kept" id="kept"')
    assert "Kept as an unfinished intake" in answer
    assert IntakeDraft.objects.get().typed["name"] == ["Bramble"]
    assert "csrfmiddlewaretoken" not in IntakeDraft.objects.get().typed
    signed_in.post(KEEP, half(name="Otto"))
    assert IntakeDraft.objects.get().typed["name"] == ["Otto"]


def test_nobody_sees_the_drafts_of_others(signed_in, staff):
    signed_in.post(KEEP, half())
    signed_in.force_login(staff)
    assert "Bramble" not in opened(signed_in)
    assert "Not finished yet" not in signed_in.get(NEW).content.decode()
    signed_in.post(f"{NEW}{KEY}/throw-away/")
    signed_in.post(KEEP, half(name="Otto"))
    assert sorted(d.dog for d in IntakeDraft.objects.all()) == ["Bramble", "Otto"]


def test_throwing_an_intake_away(signed_in):
    signed_in.post(KEEP, half())
    assert signed_in.get(f"{NEW}{KEY}/throw-away/").status_code == 405
    signed_in.post(f"{NEW}{KEY}/throw-away/")
    assert not IntakeDraft.objects.exists()


def test_a_finished_intake_leaves_nothing_behind_and_is_finished_once(signed_in):
    first = signed_in.post(NEW, typed_intake(draft=KEY))
    dog = Patient.objects.get()
    draft = IntakeDraft.objects.get()
    assert (draft.patient, draft.typed, draft.photo) == (dog, {}, None)
    assert signed_in.post(NEW, typed_intake(draft=KEY))["Location"] == first["Location"]
    late = signed_in.post(KEEP, half()).content.decode()  # sent by the page while it was being left
    assert "This dog is taken on already" in late
    assert IntakeDraft.objects.get().typed == {}
    assert (Patient.objects.count(), Visit.objects.count()) == (1, 1)


def test_what_was_refused_is_kept_too(signed_in):
    page = signed_in.post(NEW, typed_intake(draft=KEY, name="")).content.decode()
    assert "Nothing was saved yet" in page
    assert f'name="draft" value="{KEY}"' in page
    assert IntakeDraft.objects.get().typed["breed"] == ["hound cross"]


def test_a_draft_without_a_key_gets_one(signed_in):
    page = signed_in.post(NEW, half(draft="no key", name="")).content.decode()
    draft = IntakeDraft.objects.get()
    assert isinstance(draft.key, UUID)
    assert f'value="{draft.key}"' in page


def test_a_row_more_keeps_the_others(signed_in):
    drug = {"name": "carprofen"}
    answer = signed_in.post(NEW, half(add="medicines", **typed_rows("medicines", drug)))
    assert answer["Location"] == f"{NEW}?draft={KEY}#medicines"
    page = opened(signed_in)
    assert 'name="medicines-0-name" value="carprofen"' in page
    assert 'name="medicines-2-name"' in page
    assert 'name="medicines-3-name"' not in page


def test_rows_have_an_end(signed_in):
    signed_in.post(NEW, half(add="medicines", **{"medicines-TOTAL_FORMS": "60"}))
    assert IntakeDraft.objects.get().typed["medicines-TOTAL_FORMS"] == ["60"]
    signed_in.post(NEW, half(add="medicines", **{"medicines-TOTAL_FORMS": "many"}))
    assert opened(signed_in)


def test_ways_to_an_adult_weight_are_worked_out_and_nothing_is_chosen(signed_in):
    # 10 lb at 15 weeks, medium breed: 10 x 0.45359237 x 2.5 = 11.34 kg; / 15 x 52: 15.72 kg
    young = {"adult-unit": "lb", "adult-young": "10", "adult-young_weeks": "15"}
    assert signed_in.post(NEW, half(work_out="adult-weight", **young))["Location"].endswith("#adult-weight")
    page = opened(signed_in)
    table = page.split('id="adult-weight"')[1].split("</table>")[0]
    assert "11.3 kg" in table
    assert "15.7 kg" in table
    assert table.count("not known") == 2
    assert IntakeDraft.objects.get().typed["expected_adult_kg"] == [""]


def test_the_weight_and_age_of_the_first_visit_are_taken_for_want_of_others(signed_in):
    born = TODAY - timedelta(weeks=15)
    typed = {"born": born.isoformat(), "visit-date": TODAY.isoformat(), "visit-bcs": "5"}
    typed |= {"visit-weight_kg": "8", "visit-weight_kg_unit": "kg", "visit-activity": "low"}
    signed_in.post(NEW, half(work_out="adult-weight", **typed, **{"visit-appetite": "good"}))
    assert "20.0 kg" in opened(signed_in).split('id="adult-weight"')[1]  # 8 x 2.5


def test_everything_that_is_asked_reaches_the_record(signed_in):
    typed = {
        "owner-second_name": "Joss Marrow", "owner-second_phone": "01 555 0112", "owner-reach": "message",
        "owner-reach_note": "after five", "owner-consented_on": TODAY.isoformat(),
        "neutered_on": "2020-05-04", "microchip": "900 000 000 012 345", "environment": "A flat.",
        "owner_goals": "To walk.", "cooker_litres": "6", "cooker_litres_unit": "qt", "has_oven": "yes",
        "has_pan": "no", "freezer": "little", "weighs_in_grams": "", "likes_food": "cold",
        "expected_adult_from": "parents", "visit-activity_minutes": "40",
        "visit-activity_kind": "on the lead",
    }  # fmt: skip
    typed |= typed_rows("medicines", {"name": "carprofen", "started_on": "2026-01-05"})
    typed |= typed_rows("given_supplements", {"name": "fish oil", "amount": "a spoon"})
    typed |= typed_rows("lab_results", {"date": "2026-02-03", "what": "ALT", "value": "<10", "mark": "below"})
    signed_in.post(NEW, typed_intake(**typed))
    dog = Patient.objects.get()
    owner, visit = dog.owner, dog.visits.get()
    assert (owner.second_name, owner.second_phone, owner.reach) == ("Joss Marrow", "01 555 0112", "message")
    assert (owner.reach_note, owner.consented_on) == ("after five", TODAY)
    assert (dog.neutered_on, dog.microchip) == (date(2020, 5, 4), "900000000012345")
    assert dog.cooker_litres == pytest.approx(6 * 0.946352946)  # NIST SP 811: liquid quart
    assert (dog.has_oven, dog.has_pan, dog.weighs_in_grams) == (True, False, None)
    assert (dog.freezer, dog.likes_food, dog.expected_adult_from) == ("little", "cold", "parents")
    assert (visit.activity_minutes, visit.activity_kind) == (40, "on the lead")
    assert dog.medicines.get().started_on == date(2026, 1, 5)
    assert str(dog.given_supplements.get()) == "fish oil"
    assert dog.lab_results.get().told == "ALT <10, below its range, 3 February 2026"
    page = signed_in.get(dog.get_absolute_url()).content.decode()
    for words in (
        "carprofen", "fish oil", "below its range", "5.7 litres", "900000000012345", "yes; no", "Joss Marrow",
        "by text message after five", "cold from the fridge", "To walk.", "A flat.", "40 minutes a day",
    ):  # fmt: skip
        assert words in page


NAMES = [
    "Rex 🐕‍🦺",  # joined by an invisible sign that belongs to it
    "نور",
    "<b>Rex</b>",
    "O'Hara & Söhne",
]


@pytest.mark.parametrize("name", NAMES)
def test_names_in_any_script_are_kept_and_escaped(signed_in, name):
    signed_in.post(NEW, typed_intake(name=name, **{"owner-name": name}))
    dog = Patient.objects.get()
    assert (dog.name, dog.owner.name) == (name, name)
    page = signed_in.get(dog.get_absolute_url()).content.decode()
    assert "<b>Rex" not in page
    assert signed_in.get("/patients/").status_code == 200


def test_a_name_written_from_right_to_left_does_not_turn_its_sentence(signed_in):
    dog = cast.make_patient(name="نور")
    assert "\u2068نور\u2069, " in signed_in.get(dog.get_absolute_url()).content.decode()


def test_signs_that_are_not_seen_are_left_out_of_a_name(signed_in):
    signed_in.post(NEW, typed_intake(name="Ju\u202eni\nper\u2066"))
    assert Patient.objects.get().name == "Ju ni per"


def test_nul_is_left_out_of_a_draft(signed_in):
    signed_in.post(KEEP, half(environment="a\0b"))
    assert IntakeDraft.objects.get().typed["environment"] == ["ab"]


# The photo


def upload(content: bytes, name="dog.jpg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content, "image/jpeg")


def test_a_photo_is_kept_with_the_draft_and_reaches_the_dog(signed_in):
    signed_in.post(NEW, half(go_on="veterinarian", photo=upload(picture())))
    assert "A photo is kept" in opened(signed_in)
    signed_in.post(NEW, typed_intake(draft=KEY))
    dog = Patient.objects.get()
    page = signed_in.get(dog.get_absolute_url()).content.decode()
    assert 'alt="Photo of Juniper"' in page
    answer = signed_in.get(f"/patients/{dog.pk}/photo.jpg")
    assert answer["Content-Type"] == "image/jpeg"
    assert answer.content == bytes(dog.photo.jpeg)
    assert answer.content.startswith(b"\xff\xd8")


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b"<script>alert(1)</script>", "no JPEG, PNG or WebP picture"),
        (b"\xff\xd8" + bytes(30 * 1024**2), "at most 10 MB"),
        (b"", "This file is empty."),
    ],
)
@pytest.mark.parametrize("press", [{}, {"go_on": "veterinarian"}])
def test_a_bad_photo_is_told_beside_its_field_and_the_rest_is_kept(signed_in, content, message, press):
    page = signed_in.post(NEW, typed_intake(draft=KEY, photo=upload(content), **press)).content.decode()
    assert message in page.split('id="id_photo_error">')[1].split("</p>")[0]
    assert 'value="Juniper"' in page
    assert not Owner.objects.exists()
    draft = IntakeDraft.objects.get()
    assert (draft.photo, draft.typed["name"]) == (None, ["Juniper"])


def test_changing_and_taking_away_a_photo(signed_in):
    dog = cast.make_patient()
    url = f"/patients/{dog.pk}/photo/"
    assert signed_in.get(f"/patients/{dog.pk}/photo.jpg").status_code == 404
    assert "This field is required" in signed_in.post(url, {}).content.decode()
    for colour in ("sienna", "wheat"):
        assert signed_in.post(url, {"photo": upload(picture(colour=colour))}).status_code == 302
    assert len(Photo.objects.get().jpeg) < MOST_BYTES / 100
    assert "Change the photo" in signed_in.get(dog.get_absolute_url()).content.decode()
    signed_in.post(url, {"remove": "yes"})
    assert not Photo.objects.exists()


def test_a_viewer_sees_a_photo_and_changes_nothing(client, viewer):
    dog = cast.make_patient()
    Photo.objects.create(patient=dog, jpeg=b"\xff\xd8")
    client.force_login(viewer)
    assert client.get(f"/patients/{dog.pk}/photo.jpg").status_code == 200
    assert client.get(f"/patients/{dog.pk}/photo/").status_code == 403
    assert client.post(KEEP, half()).status_code == 403


# The record once more


def test_the_record_is_mended_row_by_row_and_what_stays_is_left_alone(signed_in):
    dog = cast.make_patient()
    kept = LabResult.objects.create(patient=dog, date=TODAY, what="ALT", value="60")
    gone = LabResult.objects.create(patient=dog, date=TODAY, what="T4", value="20")
    url = f"/patients/{dog.pk}/edit/"
    page = signed_in.get(url).content.decode()
    assert 'name="lab_results-0-what" value="ALT"' in page
    stays = {"date": TODAY.isoformat(), "what": "ALT", "value": "60"}
    rows = typed_rows("lab_results", stays, {"what": ""}, stays | {"what": "urea", "value": "5,2"})
    assert signed_in.post(url, typed_dog(**rows)).status_code == 302
    assert [(r.what, r.value) for r in dog.lab_results.all()] == [("ALT", "60"), ("urea", "5,2")]
    assert dog.lab_results.filter(pk=kept.pk).exists()
    assert kept.history.count() == 1
    assert LabResult.history.filter(id=gone.pk, history_type="-").exists()


def test_a_row_more_on_the_record_saves_nothing(signed_in):
    dog = cast.make_patient()
    url = f"/patients/{dog.pk}/edit/"
    answer = signed_in.post(url, typed_dog(name="June", breed="", add="lab_results"))
    page = answer.content.decode()
    assert answer.status_code == 200
    assert 'name="lab_results-1-what"' in page
    assert 'value="June"' in page
    assert "Nothing was saved yet" not in page
    dog.refresh_from_db()
    assert (dog.name, dog.avoids.count()) == ("Juniper", 0)
