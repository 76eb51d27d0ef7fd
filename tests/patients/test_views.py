"""The pages of dogs and visits: what they show, who may open them, and what they write."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from pytest_django.asserts import assertRedirects, assertTemplateNotUsed, assertTemplateUsed

from patients.models import Condition, DietItem, Patient, Sheet
from practice.models import PracticeProfile
from tests import cast
from tests.patients.typed import typed_diet, typed_dog, typed_intake, typed_rows, typed_visit

TODAY = timezone.localdate()
HTMX = {"HX-Request": "true"}


@pytest.fixture
def juniper(db):
    patient = cast.make_patient()
    cast.make_visit(patient, date=TODAY - timedelta(days=14), weight_kg=18.8, bcs=7, mcs="mild")
    return patient


def page_of(client, patient):
    return client.get(patient.get_absolute_url()).content.decode()


def test_the_list_as_a_page_and_as_a_fragment(signed_in, juniper):
    cast.make_patient(juniper.owner, name="Bramble")
    whole = signed_in.get("/patients/?q=junip")
    assertTemplateUsed(whole, "patients/patient_list.html")
    part = signed_in.get("/patients/?q=junip", headers=HTMX)
    assertTemplateNotUsed(part, "patients/patient_list.html")
    assert part.content.decode().strip().startswith('<div id="patient-table">')
    for answer in (whole, part):
        assert "Juniper" in answer.content.decode()
        assert "Bramble" not in answer.content.decode()
    assert "18.8 kg" in part.content.decode()
    assert "<html" not in part.content.decode()


def test_a_search_that_finds_nothing_keeps_the_words(signed_in, juniper):
    answer = signed_in.get("/patients/?q=%3Cquince%3E").content.decode()
    assert 'value="&lt;quince&gt;"' in answer
    assert "No dog found for" in answer


def test_an_empty_practice_offers_the_one_next_step(signed_in):
    assert "Take the first one on." in signed_in.get("/patients/").content.decode()


def test_the_list_has_pages(signed_in, juniper):
    for number in range(50):
        cast.make_patient(juniper.owner, name=f"Dog {number:02}")
    first = signed_in.get("/patients/").content.decode()
    assert "51 dogs, page 1 of 2" in first
    assert "Juniper" not in first
    assert "Juniper" in signed_in.get("/patients/?page=2").content.decode()


def test_a_whole_intake(signed_in):
    answer = signed_in.post(
        "/patients/new/", typed_intake(**{"visit-weight_kg": "40,5", "visit-weight_kg_unit": "lb"})
    )
    dog = Patient.objects.get()
    assertRedirects(answer, dog.get_absolute_url())
    visit = dog.visits.get()
    assert visit.weight_kg == pytest.approx(40.5 * 0.45359237)
    assert (visit.kind, visit.bcs, visit.mcs, visit.faecal_score) == ("intake", 7, "mild", 3)
    assert dog.owner.name == "Tilda Marrow"
    assert [(item.what, item.kcal_per_day) for item in visit.diet_items.order_by("pk")] == [
        ("dry food", 600), ("crusts", None),
    ]  # fmt: skip
    assert sorted(c.name for c in dog.conditions.all()) == ["arthritis", "heart murmur"]
    assert sorted((a.word, a.kind, a.reason) for a in dog.avoids.all()) == [
        ("chicken", "allergy", "itching"), ("wheat", "", ""),
    ]  # fmt: skip


def test_an_intake_for_an_owner_on_file(signed_in, juniper):
    page = signed_in.get(f"/patients/new/?owner={juniper.owner.pk}").content.decode()
    assert f'<option value="{juniper.owner.pk}" selected>' in page
    data = typed_intake(name="Bramble", **{"owner-name": "", "owner-on_file": str(juniper.owner.pk)})
    signed_in.post("/patients/new/", data)
    assert Patient.objects.get(name="Bramble").owner == juniper.owner


def test_the_page_of_a_dog(signed_in, juniper):
    version = cast.make_recipe()
    cast.make_plan(juniper, version, state="issued", target_kg=15.7, kcal_per_day=640, method="chosen")
    Condition.objects.create(patient=juniper, name="pancreatitis")
    page = page_of(signed_in, juniper)
    age = TODAY.year - juniper.born.year - ((TODAY.month, TODAY.day) < (3, 1))
    assert (
        f"Juniper, {age}-year-old neutered hound cross, 18.8 kg, BCS 7. Target 15.7 kg, 640 kcal a day."
        in page
    )
    assert "41.4 lb" in page  # 18.8 / 0.45359237 = 41.45, shown as the table does
    assert "pancreatitis, hyperlipidaemia" in page
    assert "Turkey and rice" in page
    assert f'src="{reverse("patients:weight-chart", args=[juniper.pk])}?1"' in page
    assert 'alt="One weigh-in: 18.8 kg on' in page


def test_a_dog_without_a_visit(signed_in):
    page = page_of(signed_in, cast.make_patient())
    assert "not seen here yet. No plan yet." in page
    assert "Record the first visit." in page


@pytest.mark.parametrize(
    ("findings", "words"),
    [
        ({"appetite": "poor"}, "the appetite is poor"),
        ({"bcs": 3}, "the dog is thin (BCS 3)"),
        ({"bcs": 9}, "severely obese (BCS 9)"),
        ({"weight_kg": 18.0}, "the weight fell by 2.13 % a week"),  # 0.8 of 18.8 kg in 2 weeks
    ],
)
def test_what_wants_a_veterinarian_is_said_first(signed_in, juniper, findings, words):
    cast.make_visit(juniper, kind="recheck", date=TODAY, **({"weight_kg": 18.7, "bcs": 6} | findings))
    page = page_of(signed_in, juniper)
    assert "Speak to the dog&#x27;s veterinarian" in page or "Speak to the dog's veterinarian" in page
    assert words in page


def test_a_dog_in_order_is_not_sent_to_the_veterinarian(signed_in, juniper):
    assert "Speak to the dog" not in page_of(signed_in, juniper)


def test_sheets_that_ran_out_say_so(signed_in, juniper, practitioner):
    plan = cast.make_plan(juniper, cast.make_recipe())
    for number, days in ((1, -1), (2, 0)):
        Sheet.objects.create(
            plan=plan, patient=juniper, number=number, issued_by=practitioner, record={}, pdf=b"",
            expires_on=TODAY + timedelta(days=days), sha256="",
        )  # fmt: skip
    assert page_of(signed_in, juniper).count(">expired<") == 1


def test_what_a_dog_must_avoid_says_how_many_foods_that_is(signed_in, juniper):
    juniper.avoids.create(word="turrkey")
    assert "no food of the table: check the spelling" in page_of(signed_in, juniper)


def test_typed_text_is_escaped(signed_in, juniper):
    juniper.medical_notes = "<script>alert(1)</script>"
    juniper.save()
    assert "<script>alert" not in page_of(signed_in, juniper)


def test_the_weight_chart_is_a_picture(signed_in, juniper):
    answer = signed_in.get(reverse("patients:weight-chart", args=[juniper.pk]))
    assert answer["Content-Type"] == "image/svg+xml"
    assert b"<svg" in answer.content
    never_weighed = cast.make_patient(juniper.owner, name="Otto")
    assert signed_in.get(reverse("patients:weight-chart", args=[never_weighed.pk])).status_code == 404


def test_mending_the_record(signed_in, juniper):
    url = reverse("patients:patient-edit", args=[juniper.pk])
    juniper.avoids.create(word="chicken", reason="itching")
    page = signed_in.get(url).content.decode()
    assert 'name="avoids-0-what" value="chicken"' in page
    assert 'name="avoids-0-reason" value="itching"' in page
    turkey = {"what": "ground turkey, 93% lean, raw", "kind": "order", "reason": "vomits"}
    data = typed_dog(name="June", conditions="") | typed_rows("avoids", turkey, {"what": ""})
    assertRedirects(signed_in.post(url, data), juniper.get_absolute_url())
    juniper.refresh_from_db()
    assert juniper.name == "June"
    avoid = juniper.avoids.get()
    assert (avoid.food.name, avoid.word) == ("Ground turkey, 93% lean, raw", "")
    assert avoid.why == "veterinarian's order: vomits"
    assert not juniper.conditions.exists()
    assert juniper.history.first().history_user.username == "robin"


def test_mending_the_owner(signed_in, juniper):
    url = reverse("patients:owner-edit", args=[juniper.owner.pk])
    data = {"name": "Tilda Marrow", "phone": "01 555 0199", "email": "tilda@example.org", "address": ""}
    assertRedirects(signed_in.post(url, data), juniper.get_absolute_url())
    assert signed_in.post(url, data | {"email": "no address"}).status_code == 200
    juniper.owner.refresh_from_db()
    assert juniper.owner.email == "tilda@example.org"


def test_a_new_visit_starts_from_the_last_one(signed_in, juniper):
    last = juniper.visits.get()
    DietItem.objects.create(visit=last, what="dry food", kcal_per_day=600)
    PracticeProfile.objects.create(name="Quillmarsh", recheck_days=21)
    page = signed_in.get(reverse("patients:visit-new", args=[juniper.pk])).content.decode()
    assert '<option value="mild" selected>' in page
    assert 'value="dry food"' in page
    assert 'value="600"' in page
    assert f'value="{(TODAY + timedelta(days=21)).isoformat()}"' in page
    assert "18.8 kg, BCS 7" in page
    assert 'name="weight_kg" inputmode="decimal"' in page
    weight, bcs = (page.split(f'name="{name}"')[1].split(">")[0] for name in ("weight_kg", "bcs"))
    assert "value=" not in weight
    assert "value=" not in bcs


def test_a_visit_says_what_changed(signed_in, juniper):
    url = reverse("patients:visit-new", args=[juniper.pk])
    due = TODAY + timedelta(days=28)
    data = typed_visit(kind="recheck", next_recheck=due.isoformat()) | typed_diet(("dry food", "550"))
    answer = signed_in.post(url, data, follow=True)
    assertRedirects(answer, reverse("patients:visit-detail", args=[juniper.visits.first().pk]))
    assert "0.4 kg (2.1 %) less in 14 days" in [str(m) for m in answer.context["messages"]][0]
    juniper.refresh_from_db()
    assert juniper.next_recheck == due
    visit = juniper.visits.first()
    assert (visit.kind, visit.weight_kg, visit.diet_items.get().kcal_per_day) == ("recheck", 18.4, 550)


def test_mending_a_visit_keeps_its_kind_and_replaces_its_diet(signed_in, juniper):
    visit = juniper.visits.get()
    DietItem.objects.create(visit=visit, what="dry food", kcal_per_day=600)
    url = reverse("patients:visit-edit", args=[visit.pk])
    page = signed_in.get(url).content.decode()
    assert 'value="18.8"' in page
    assert 'name="next_recheck"' not in page
    data = typed_visit(date=visit.date.isoformat(), weight_kg="18.6") | typed_diet(("other food", "700"))
    assertRedirects(signed_in.post(url, data), juniper.get_absolute_url())
    visit.refresh_from_db()
    assert (visit.kind, visit.weight_kg) == ("intake", 18.6)
    assert [item.what for item in visit.diet_items.all()] == ["other food"]


def test_the_page_asks_the_database_as_often_for_many_visits(
    signed_in, juniper, django_assert_max_num_queries
):
    for number in range(20):
        visit = cast.make_visit(juniper, kind="weigh_in", date=TODAY - timedelta(days=number))
        DietItem.objects.create(visit=visit, what="dry food")
    with django_assert_max_num_queries(40):
        page_of(signed_in, juniper)


READ = ("patient-list", "patient-detail", "weight-chart")
WRITE = ("patient-new", "patient-edit", "visit-new", "visit-edit", "owner-edit")


@pytest.mark.parametrize("name", READ + WRITE)
def test_a_viewer_reads_and_staff_write(client, juniper, staff, viewer, name):
    key = {"owner-edit": juniper.owner_id, "visit-edit": juniper.visits.get().pk}.get(name, juniper.pk)
    url = reverse(f"patients:{name}", args=[] if name in ("patient-list", "patient-new") else [key])
    client.force_login(viewer)
    assert client.get(url).status_code == (200 if name in READ else 403)
    client.force_login(staff)
    assert client.get(url).status_code == 200


def test_a_viewer_is_offered_no_writing(client, juniper, viewer):
    client.force_login(viewer)
    page = page_of(client, juniper) + client.get("/patients/").content.decode()
    for name in WRITE:
        part = name.split("-")[1]
        assert f"/{part}/" not in page, name


def test_a_viewer_cannot_post(client, juniper, viewer):
    client.force_login(viewer)
    url = reverse("patients:visit-new", args=[juniper.pk])
    assert client.post(url, typed_visit(kind="recheck") | typed_diet()).status_code == 403
    assert juniper.visits.count() == 1
