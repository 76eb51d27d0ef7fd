"""The list of dogs as a file."""

import csv
import io
from datetime import date

import pytest
from django.urls import reverse

from tests import cast

pytestmark = pytest.mark.django_db
FILE = reverse("patients:patient-csv")


def rows_of(response) -> list[dict[str, str]]:
    assert response.status_code == 200
    return list(csv.DictReader(io.StringIO(response.content.decode(), newline="")))


def test_a_dog_with_its_last_visit_and_its_plan(signed_in):
    patient = cast.make_patient(next_recheck=date(2026, 4, 1))
    cast.make_visit(patient, date=date(2026, 3, 1), weight_kg=18.4)
    cast.make_plan(patient, cast.make_recipe(), kcal_per_day=640)
    (row,) = rows_of(signed_in.get(FILE))
    assert (row["dog"], row["owner"], row["neutered"]) == ("Juniper", "Tilda Marrow", "yes")
    assert (row["last weight (kg)"], row["seen on"]) == ("18.4", "2026-03-01")
    assert (row["recipe"], row["energy (kcal a day)"], row["plan"]) == ("Turkey and rice", "640", "Draft")
    assert row["next re-check"] == "2026-04-01"


def test_what_is_not_known_is_empty(signed_in):
    cast.make_patient()
    (row,) = rows_of(signed_in.get(FILE))
    assert {row[column] for column in ("last weight (kg)", "seen on", "recipe", "next re-check")} == {""}


def test_the_dogs_that_the_search_finds(signed_in):
    owner = cast.make_owner()
    for name in ("Juniper", "Sorrel"):
        cast.make_patient(owner, name=name)
    assert [row["dog"] for row in rows_of(signed_in.get(FILE, {"q": "sor"}))] == ["Sorrel"]
    page = signed_in.get(reverse("patients:patient-list"), {"q": "sor"}).content.decode()
    assert f'href="{FILE}?q=sor"' in page


def test_it_reads_no_more_for_more_dogs(signed_in, django_assert_max_num_queries):
    owner = cast.make_owner()
    for number in range(12):
        cast.make_visit(cast.make_patient(owner, name=f"Dog {number}"))
    with django_assert_max_num_queries(8):
        assert len(rows_of(signed_in.get(FILE))) == 12
