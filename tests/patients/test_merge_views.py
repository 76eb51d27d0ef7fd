"""The pages that merge two records: found, looked at side by side, confirmed, and read afterwards."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from patients.duplicates import likely_dogs, likely_owners, number_key
from patients.models import Owner, Patient, Visit
from tests import cast

pytestmark = pytest.mark.django_db
DAY = timezone.localdate() - timedelta(days=4)


@pytest.fixture
def two() -> tuple[Patient, Patient]:
    """Of one owner and name, seen on one day by two people."""
    owner = cast.make_owner()
    kept = cast.make_patient(owner, medical_notes="itches")
    other = cast.make_patient(owner, breed="beagle", microchip="123456789", medical_notes="limps")
    for dog, weight_kg in ((kept, 18.4), (other, 18.9)):
        cast.make_visit(dog, date=DAY, kind="recheck", weight_kg=weight_kg)
    cast.make_visit(other, date=DAY - timedelta(days=9), weight_kg=19.5)
    return kept, other


def url_of(page: str, *records) -> str:
    return reverse(f"patients:{page}", args=[record.pk for record in records])


def typed(page, **more) -> dict:
    """What the page of questions would send, with nothing chosen otherwise."""
    form = page.context["form"]
    return (
        {field.html_name: field.value() or "" for field in form}
        | {"state": page.context["preview"].state}
        | more
    )


def test_side_by_side_then_confirmed_then_one(signed_in, two):
    kept, other = two
    visit = Visit.objects.get(patient=other, date=DAY)
    url = url_of("patient-merge", kept, other)
    page = signed_in.get(url)
    for told in ("hound cross", "beagle", "Re-check of", "18.4 kg", "18.9 kg", "both, one after the other"):
        assert told in page.text
    clash = f"visit-{kept.visits.get().pk}-{visit.pk}"
    chosen = {
        "reason": "taken on twice",
        "field-breed": "other",
        "field-medical_notes": "both",
        clash: "other",
    }
    sent = typed(page, **chosen)
    confirm = signed_in.post(url, sent)
    assert "patients/merge_confirm.html" in [template.name for template in confirm.templates]
    assert ("Breed", "beagle") in confirm.context["outcome"]
    assert not Patient.objects.filter(merged_into__isnull=False).exists()
    assert "taken on twice" in signed_in.post(url, sent | {"change": "yes"}).text

    after = signed_in.post(url, sent | {"confirmed": "yes"}, follow=True)
    assert "The two records of Juniper are one now." in after.text
    dog = Patient.objects.kept().get()
    assert (dog.pk, dog.breed, dog.microchip, dog.medical_notes) == (
        kept.pk, "beagle", "123456789", "itches\nlimps",
    )  # fmt: skip
    assert sorted(dog.visits.values_list("weight_kg", flat=True)) == [18.9, 19.5]
    merged = signed_in.get(url_of("patient-merged", dog)).text
    assert "taken on twice" in merged
    assert "18.4 kg" in merged
    assert dog.history.first().history_user.username == "robin"


def test_a_reason_is_asked_and_nothing_typed_is_lost(signed_in, two):
    url = url_of("patient-merge", *two)
    sent = typed(signed_in.get(url), **{"field-breed": "other", "reason": "", "confirmed": "yes"})
    page = signed_in.post(url, sent)
    assert page.status_code == 200
    assert page.context["form"].errors["reason"]
    assert page.context["form"]["field-breed"].value() == "other"
    assert Patient.objects.kept().count() == 2


def test_what_was_changed_meanwhile_is_looked_at_again(signed_in, two):
    kept, other = two
    url = url_of("patient-merge", kept, other)
    sent = typed(signed_in.get(url), reason="twice", confirmed="yes")
    cast.make_visit(other, date=DAY - timedelta(days=30), kind="recheck")
    page = signed_in.post(url, sent)
    assert "changed in the meantime" in page.text
    again = sent | {"state": page.context["preview"].state}
    assert signed_in.post(url, again).status_code == 302


@pytest.mark.parametrize("role", ["staff", "viewer"])
def test_only_a_practitioner_merges(client, request, two, role):
    client.force_login(request.getfixturevalue(role))
    kept, other = two
    pages = [reverse("patients:duplicates")]
    pages += [url_of("patient-merge", kept, other), url_of("patient-merge-with", kept)]
    pages += [url_of("owner-merge", kept.owner, cast.make_owner()), url_of("owner-merge-with", kept.owner)]
    assert {client.get(page).status_code for page in pages} == {403}
    assert client.post(pages[1], {"confirmed": "yes"}).status_code == 403


class TestMergedAddresses:
    @pytest.fixture
    def merged(self, two):
        kept, other = two
        third = cast.make_patient(kept.owner)
        Patient.objects.filter(pk=third.pk).update(merged_into=other)
        Patient.objects.filter(pk=other.pk).update(merged_into=kept)
        return kept, other, third

    @pytest.mark.parametrize(
        "address", ["patient-detail", "energy-page", "letter", "visit-new", "patient-edit"]
    )
    def test_they_lead_on(self, signed_in, merged, address):
        kept, *gone = merged
        for record in gone:
            answer = signed_in.get(url_of(address, record) + "?q=1")
            assert (answer.status_code, answer.url) == (302, url_of(address, kept) + "?q=1")

    def test_what_is_sent_there_is_not_saved(self, signed_in, merged):
        kept, other, _ = merged
        page = signed_in.post(url_of("patient-archive", other), {"on": DAY, "reason": "x"}, follow=True)
        assert page.redirect_chain == [(kept.get_absolute_url(), 302)]
        assert "Nothing was saved" in page.text
        assert not Patient.objects.filter(status="archived").exists()

    def test_an_owners_too(self, signed_in):
        kept, other = cast.make_owner(), cast.make_owner("T. Marrow")
        Owner.objects.filter(pk=other.pk).update(merged_into=kept)
        assert signed_in.get(url_of("owner-detail", other)).url == url_of("owner-detail", kept)

    def test_a_stranger_is_not_led_on(self, client, merged):
        assert "/sign-in/" in client.get(merged[1].get_absolute_url()).url

    def test_merged_records_are_listed_and_found_nowhere(self, signed_in, merged):
        for page in (reverse("patients:patient-list"), url_of("owner-detail", merged[0].owner)):
            assert f'href="{merged[1].get_absolute_url()}"' not in signed_in.get(page).text
        assert list(Patient.objects.fed()) == [merged[0]]


class TestLikelyDuplicates:
    def test_dogs(self):
        owner = cast.make_owner()
        first = cast.make_patient(owner, microchip="123456789")
        chip = cast.make_patient(cast.make_owner("Ansel Rye"), name="Moss", microchip="123456789")
        name = cast.make_patient(owner, name="juniper ", born=first.born - timedelta(days=1))
        cast.make_patient(owner, name="Sorrel")
        assert [(pair.first, pair.second, pair.why) for pair in likely_dogs()] == [
            (first, chip, "the same microchip"), (first, name, "the same owner and name"),
        ]  # fmt: skip
        assert [pair.second for pair in likely_dogs(chip)] == [first]
        assert not likely_dogs(Patient.objects.get(name="Sorrel"))

    def test_owners(self):
        first = Owner.objects.create(name="Tilda Marrow", phone="+44 1 5550 100", email="t@example.org")
        phone = Owner.objects.create(name="Ansel Rye", second_phone="(01) 5550-100")
        email = Owner.objects.create(name="T. M.", email="T@example.org")
        Owner.objects.create(name="Bo Fennel", phone="12")
        assert {(pair.second, pair.why) for pair in likely_owners(first)} == {
            (email, "the same e-mail"), (phone, "the same phone number"),
        }  # fmt: skip

    @pytest.mark.parametrize(("written", "key"), [
        ("+44 20 7946 0018", "79460018"), ("020 7946 0018", "79460018"), ("12", ""), ("", ""),
        ("01 555 0100", "15550100"),
    ])  # fmt: skip
    def test_numbers_are_the_same_however_written(self, written, key):
        assert number_key(written) == key

    def test_the_page_and_the_choice(self, signed_in, two):
        kept, other = two
        link = url_of("patient-merge", kept, other)
        assert link in signed_in.get(reverse("patients:duplicates")).text
        assert link in signed_in.get(url_of("patient-merge-with", kept)).text
        assert link in signed_in.get(url_of("patient-merge-with", kept), {"q": "beagle"}).text


def test_owners_are_merged_through_the_page(signed_in, two):
    kept, other = two[0].owner, Owner.objects.create(name="T. Marrow", phone="02 555 0199")
    dog = cast.make_patient(other, name="Sorrel")
    url = url_of("owner-merge", kept, other)
    sent = typed(signed_in.get(url), reason="written twice")
    assert "Sorrel, hound cross" in signed_in.post(url, sent).text
    page = signed_in.post(url, sent | {"confirmed": "yes"}, follow=True)
    assert "The two records of Tilda Marrow are one now." in page.text
    dog.refresh_from_db()
    assert dog.owner == kept
    assert "02 555 0199" in signed_in.get(url_of("owner-merged", kept)).text
