"""An owner's page: the dogs, the contact log, the tasks."""

from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse
from django.utils import timezone

from patients.activity_queries import events_of
from patients.contact_services import mend_contact
from patients.models import Contact, Owner, Task
from tests import cast

pytestmark = pytest.mark.django_db
TODAY = timezone.localdate()


@pytest.fixture
def dog():
    return cast.make_patient(next_recheck=TODAY + timedelta(days=3))


def page_of(client, owner) -> str:
    return client.get(reverse("patients:owner-detail", args=[owner.pk])).content.decode()


def note(client, owner, **typed):
    at = timezone.localtime() - timedelta(hours=1)
    form = {"kind": "phone", "at": at.strftime("%Y-%m-%dT%H:%M"), "patient": "", "text": "Eats well."}
    named = {f"contact-{name}": value for name, value in (form | typed).items()}
    return client.post(reverse("patients:contact-new", args=[owner.pk]), named)


def add_task(client, owner, **typed):
    named = {f"task-{name}": value for name, value in ({"text": "Ring back"} | typed).items()}
    return client.post(reverse("patients:task-new", args=[owner.pk]), named)


def test_the_dogs_page_leads_to_its_owner(signed_in, dog):
    assert (
        reverse("patients:owner-detail", args=[dog.owner_id])
        in signed_in.get(dog.get_absolute_url()).content.decode()
    )
    page = page_of(signed_in, dog.owner)
    assert "Tilda Marrow, with Juniper." in page
    assert "No contact noted yet; 0 tasks to do." in page
    assert dog.get_absolute_url() in page


def test_how_an_owner_is_reached_stands_on_the_owners_page(signed_in, dog):
    told = {"second_phone": "01 555 0199", "reach": "phone", "reach_note": "after <five>"}
    Owner.objects.filter(pk=dog.owner_id).update(phone="", second_name="Ada", **told)
    page = page_of(signed_in, dog.owner)
    for said in ("and Ada", "01 555 0199", "Best reached by phone after &lt;five&gt;", "no consent to these"):
        assert said in page
    assert "No phone number" not in page


def test_a_contact_is_kept_with_who_and_when(signed_in, practitioner, dog):
    assert (
        note(signed_in, dog.owner, patient=dog.pk, text="Eats well.\nAsks for <treats>.").status_code == 302
    )
    kept = Contact.objects.get()
    assert (kept.by, kept.patient, kept.kind) == (practitioner, dog, "phone")
    page = page_of(signed_in, dog.owner)
    assert "Asks for &lt;treats&gt;." in page
    assert "phone, about Juniper, robin" in page


@pytest.mark.parametrize(
    ("typed", "said"),
    [({"text": ""}, "This field is required"), ({"at": "2999-01-01T10:00"}, "lies in the future"),
     ({"at": "soon"}, "Enter a valid date/time"), ({"kind": "pigeon"}, "Select a valid choice"),
     ({"text": "x" * 4001}, "at most 4,000 characters")],
)  # fmt: skip
def test_a_contact_that_cannot_be_kept_stays_as_typed(signed_in, dog, typed, said):
    answer = note(signed_in, dog.owner, **({"text": "Half a sentence"} | typed))
    assert answer.status_code == 200
    page = answer.content.decode()
    assert said in page.replace("4000", "4,000")
    assert typed.get("text", "Half a sentence") in page
    assert not Contact.objects.exists()


def mended(client, contact, **typed):
    at = timezone.localtime(contact.at).strftime("%Y-%m-%dT%H:%M")
    form = {"kind": contact.kind, "at": at, "patient": contact.patient_id or "", "text": contact.text} | typed
    url = reverse("patients:contact-detail", args=[contact.pk])
    return client.post(url, {f"contact-{name}": value for name, value in form.items()})


def test_who_noted_a_contact_mends_it_and_what_it_said_is_kept(signed_in, practitioner, dog):
    contact = Contact.objects.create(owner=dog.owner, patient=dog, text="Eats 40 g.", by=practitioner)
    url = reverse("patients:contact-detail", args=[contact.pk])
    assert f'<a href="{url}">Mend' in page_of(signed_in, dog.owner)
    assert mended(signed_in, contact, text="Eats 400 g.").status_code == 302
    now = Contact.objects.get()
    assert (now.text, now.by, now.at) == ("Eats 400 g.", practitioner, contact.at)
    assert f'<a href="{url}">Mended on' in page_of(signed_in, dog.owner)
    for page in (signed_in.get(url).text, signed_in.get(reverse("patients:activity", args=[dog.pk])).text):
        assert "<td>Eats 40 g.</td><td>Eats 400 g.</td>" in page
        assert "What was said</th>" in page
    [change] = events_of(dog)[0].changes
    assert (change.label, change.before, change.after) == ("What was said", "Eats 40 g.", "Eats 400 g.")


def test_a_mended_contact_that_cannot_be_kept_stays_as_typed(signed_in, practitioner, dog):
    contact = Contact.objects.create(owner=dog.owner, text="Eats.", by=practitioner)
    answer = mended(signed_in, contact, text="Half a sentence", at="2999-01-01T10:00")
    assert answer.status_code == 200
    assert "lies in the future" in answer.text
    assert "Half a sentence" in answer.text
    assert Contact.objects.get().text == "Eats."


def test_nobody_mends_what_another_noted(client, staff, practitioner, dog):
    contact = Contact.objects.create(owner=dog.owner, text="Eats.", by=practitioner)
    of_nobody = Contact.objects.create(owner=dog.owner, text="Sleeps.")
    client.force_login(staff)
    for each in (contact, of_nobody):
        assert mended(client, each, text="Starves.").status_code == 403
        page = client.get(reverse("patients:contact-detail", args=[each.pk])).text
        assert "Only who noted it can mend it" in page
        assert "<textarea" not in page
    assert not Contact.objects.filter(text="Starves.").exists()
    with pytest.raises(ValidationError):
        mend_contact(contact=contact, by=staff)


def test_a_contact_about_a_dog_that_went_to_another_owner_can_be_mended(signed_in, practitioner, dog):
    owner = dog.owner
    contact = Contact.objects.create(owner=owner, patient=dog, text="Eats.", by=practitioner)
    dog.owner = cast.make_owner("Piet Sorrel")
    dog.save()
    assert mended(signed_in, contact, text="Eats well.").status_code == 302
    now = Contact.objects.get()
    assert (now.patient, now.owner, now.text) == (dog, owner, "Eats well.")


def test_the_dog_of_another_owner_cannot_be_meant(signed_in, dog):
    other = cast.make_patient(cast.make_owner("Piet Sorrel"), name="Otto")
    assert note(signed_in, dog.owner, patient=other.pk).status_code == 200
    assert add_task(signed_in, dog.owner, patient=other.pk).status_code == 200
    assert not Contact.objects.exists()
    assert not Task.objects.exists()


def test_a_task_is_added_done_and_not_done_after_all(signed_in, practitioner, dog):
    add_task(signed_in, dog.owner, due=str(TODAY - timedelta(days=2)))
    task = Task.objects.get()
    assert task.made_by == practitioner
    assert "due since" in page_of(signed_in, dog.owner)
    url = reverse("patients:task-done", args=[task.pk])
    signed_in.post(url, {"done": "yes"})
    task.refresh_from_db()
    assert (task.done, task.done_by, task.overdue) == (True, practitioner, False)
    assert "Done lately" in page_of(signed_in, dog.owner)
    signed_in.post(url, {"done": "no"})
    task.refresh_from_db()
    assert (task.done, task.done_by, task.overdue) == (False, None, True)


def test_who_did_it_first_did_it(signed_in, client, dog, staff, practitioner):
    task = Task.objects.create(owner=dog.owner, text="Ring back")
    url = reverse("patients:task-done", args=[task.pk])
    signed_in.post(url, {"done": "yes"})
    client.force_login(staff)
    client.post(url, {"done": "yes"})
    task.refresh_from_db()
    assert task.done_by == practitioner


def test_a_task_without_words_is_not_added(signed_in, dog):
    answer = add_task(signed_in, dog.owner, text=" ", due="someday")
    assert answer.status_code == 200
    assert 'value="someday"' in answer.content.decode()
    assert not Task.objects.exists()


def test_doing_a_task_leads_to_no_other_site(signed_in, dog):
    task = Task.objects.create(owner=dog.owner, text="Ring back")
    url = reverse("patients:task-done", args=[task.pk])
    answer = signed_in.post(url, {"done": "yes", "back": "https://elsewhere.example/"})
    assert answer["Location"] == reverse("patients:owner-detail", args=[dog.owner_id])


def test_a_viewer_reads_the_log_and_writes_nothing(client, viewer, dog):
    Contact.objects.create(owner=dog.owner, text="Eats well.")
    client.force_login(viewer)
    page = page_of(client, dog.owner)
    assert "Eats well." in page
    assert "<textarea" not in page
    assert note(client, dog.owner).status_code == 403
    assert add_task(client, dog.owner).status_code == 403
