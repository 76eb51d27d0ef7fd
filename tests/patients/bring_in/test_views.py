"""From the file to the records, through the pages."""

import csv
import io
import re
from datetime import date

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from patients.models import BroughtFile, Condition, HomeWeighIn, Owner, Patient
from tests import cast

FILE = """Owner;E-mail;Dog;Breed;Sex;DOB;Conditions;Weight (kg);Weighed on;BCS
Ida Fenwick;ida@example.org;Moss;collie cross;male neutered;2020-04-05;arthritis; 21,4;3/11/2025;6
Ida Fenwick;ida@example.org;Moss;collie cross;male neutered;2020-04-05;;21.0;25/11/2025;
Ida Fenwick;ida@example.org;Fern;terrier;female;2022-01-09;;8.1;1/12/2025;5
Otto Braid;no address;Rye;hound;female;2021-05-05;;15;1/12/2025;
Tilda Marrow;;Juniper;;;;;39.9;2/12/2025;
"""


@pytest.fixture
def juniper(db):
    dog = cast.make_patient()
    cast.make_visit(dog, date=date(2025, 11, 20), weight_kg=18.0)
    return dog


def chosen(**changed):
    keys = ("owner", "email", "name", "breed", "sex", "born", "conditions", "weight", "date", "bcs")
    columns = {f"column_{place}": key for place, key in enumerate(keys)}
    return columns | {"unit_weight": "kg", "unit_expected_adult_kg": "", "order": "day"} | changed


def upload(client, text=FILE):
    data = {"upload": SimpleUploadedFile("dogs.csv", text.encode(), "text/csv")}
    return client.post(reverse("patients:bring-in-new"), data)


@pytest.fixture
def brought(signed_in, juniper):
    upload(signed_in)
    file = BroughtFile.objects.get()
    signed_in.post(reverse("patients:bring-in-columns", args=[file.pk]), chosen())
    file.refresh_from_db()
    return file


def test_the_columns_are_guessed_and_shown_with_what_they_hold(signed_in, db):
    page_html = signed_in.get(upload(signed_in).url).content.decode()
    guessed = re.findall(r'<option value="(\w+)" selected>', page_html)
    assert guessed == [
        "owner", "email", "name", "breed", "sex", "born", "conditions", "weight", "date", "bcs", "kg", "day"
    ]  # fmt: skip
    assert "21,4 · 21.0 · 8.1" in page_html


def test_a_look_writes_nothing(signed_in, brought):
    page_html = signed_in.get(brought.get_absolute_url()).content.decode()
    assert "Nothing is written yet" in page_html
    assert "Moss" in page_html
    assert "E-mail: Enter a valid email address" in page_html
    assert "39.9 kg after 18 kg: were these pounds? If it is right as it stands" in page_html
    assert (Owner.objects.count(), Patient.objects.count(), HomeWeighIn.objects.count()) == (1, 1, 0)


def test_it_is_brought_in_once(signed_in, brought, juniper):
    for _ in range(2):
        assert signed_in.post(brought.get_absolute_url()).status_code == 302
    moss = Patient.objects.get(name="Moss")
    assert (moss.owner.email, moss.neutered, moss.born) == ("ida@example.org", True, date(2020, 4, 5))
    assert [each.name for each in Condition.objects.all()] == ["arthritis"]
    weights = [(each.date, each.weight_kg, each.note) for each in moss.home_weigh_ins.order_by("date")]
    assert weights == [
        (date(2025, 11, 3), 21.4, "from a file; body condition 6 of 9"),
        (date(2025, 11, 25), 21.0, "from a file"),
    ]
    assert [dog.name for dog in Patient.objects.filter(owner=moss.owner)] == ["Fern", "Moss"]
    assert not juniper.home_weigh_ins.exists()
    assert not Owner.objects.filter(name="Otto Braid").exists()
    (state,) = moss.history.all()
    assert (state.history_user.username, state.history_change_reason) == (
        "robin",
        "brought in from a file",
    )
    brought.refresh_from_db()
    assert bytes(brought.content) == b""
    assert brought.counts == {"owners": 1, "dogs": 2, "weigh_ins": 3, "here": 1, "same": 0, "wrong": 2}
    assert "What it brought" in signed_in.get(brought.get_absolute_url()).content.decode()


def test_what_was_left_out_is_mended_and_brought_in(signed_in, brought, juniper):
    signed_in.post(brought.get_absolute_url())
    text = signed_in.get(reverse("patients:bring-in-left-out", args=[brought.pk])).content.decode()
    rows = list(csv.DictReader(io.StringIO(text)))
    assert [(row["Dog"], row["what is wrong"][:6]) for row in rows] == [
        ("Rye", "E-mail"),
        ("Juniper", "39.9 k"),
    ]
    rows[0]["E-mail"], rows[1]["looked at"] = "otto@example.org", "yes"
    out = io.StringIO()
    table = csv.DictWriter(out, rows[0].keys())
    table.writeheader()
    table.writerows(rows)
    columns = upload(signed_in, out.getvalue())
    again = BroughtFile.objects.first()
    html = signed_in.get(columns.url).content.decode()
    assert '<option value="checked" selected>' in html
    assert signed_in.post(columns.url, chosen(column_11="checked")).status_code == 302
    signed_in.post(again.get_absolute_url())
    assert Patient.objects.filter(name="Rye", owner__name="Otto Braid").exists()
    assert [each.weight_kg for each in juniper.home_weigh_ins.all()] == [39.9]
    again.refresh_from_db()
    assert again.left_out == ""


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"unit_weight": ""}, "Some of them have no unit"),
        ({"column_2": "owner"}, "Two columns are"),
        ({"column_8": ""}, "A weigh-in needs both"),
        ({"column_3": "nonsense"}, "Select a valid choice"),
    ],
)
def test_what_is_not_clear_is_asked_beside_the_field_and_nothing_chosen_is_lost(signed_in, db, changed, says):
    url = upload(signed_in).url
    answer = signed_in.post(url, chosen(**changed))
    html = answer.content.decode()
    assert answer.status_code == 200
    assert says in html
    assert '<option value="conditions" selected>' in html
    assert BroughtFile.objects.get().columns == {}


def test_the_order_of_dates_is_asked_where_none_tells_it(signed_in, db):
    url = upload(signed_in, FILE.replace("25/11/2025", "5/11/2025")).url
    assert "Some dates read two ways" in signed_in.post(url, chosen(order="")).content.decode()
    assert signed_in.post(url, chosen(order="month")).status_code == 302


@pytest.mark.parametrize(
    ("text", "says"),
    [("", "empty"), ("dog,owner\n", "at least one more line"), ("a,a\nb,b\n", "Two columns are named")],
)
def test_a_file_that_is_no_table_is_refused_beside_the_field(signed_in, db, text, says):
    answer = upload(signed_in, text)
    assert (answer.status_code, says in answer.content.decode()) == (200, True)
    assert not BroughtFile.objects.exists()


def test_a_file_is_for_the_person_alone_and_for_practitioners(signed_in, brought, client):
    client.force_login(cast.make_user("practitioner", "another"))
    assert client.get(brought.get_absolute_url()).status_code == 404
    client.force_login(cast.make_user("staff"))
    assert client.get(reverse("patients:bring-in-new")).status_code == 403


def test_a_file_can_be_thrown_away(signed_in, brought):
    throw = reverse("patients:bring-in-throw-away", args=[brought.pk])
    signed_in.post(brought.get_absolute_url())
    assert signed_in.post(throw).status_code == 302
    brought.refresh_from_db()
    assert (brought.left_out, brought.counts["dogs"]) == ("", 2)
    upload(signed_in)
    signed_in.post(reverse("patients:bring-in-throw-away", args=[BroughtFile.objects.first().pk]))
    assert list(BroughtFile.objects.all()) == [brought]


def test_nothing_is_written_when_writing_fails(signed_in, brought, monkeypatch):
    def broken(*args, **options):
        raise RuntimeError("the disk is full")

    monkeypatch.setattr("patients.bring_in.writing.HomeWeighIn", broken)
    with pytest.raises(RuntimeError):
        signed_in.post(brought.get_absolute_url())
    brought.refresh_from_db()
    assert brought.done_at is None
    assert not Owner.objects.filter(name="Ida Fenwick").exists()


def test_names_of_any_kind_come_through_as_they_are(signed_in, db):
    text = 'owner,dog,breed,sex,born\n<b>Ida</b>,محبوب 🐾,"mix, large",f,2020-01-01\n'
    url = upload(signed_in, text).url
    keys = ("owner", "name", "breed", "sex", "born")
    signed_in.post(url, {f"column_{place}": key for place, key in enumerate(keys)} | {"order": ""})
    file = BroughtFile.objects.get()
    assert "&lt;b&gt;Ida&lt;/b&gt;" in signed_in.get(file.get_absolute_url()).content.decode()
    signed_in.post(file.get_absolute_url())
    assert Patient.objects.get().name == "محبوب 🐾"
