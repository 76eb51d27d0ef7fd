"""The foods' lists as files."""

import csv
import io

import pytest
from django.urls import reverse

from nutrients.models import Food, FoodValue

pytestmark = pytest.mark.django_db


def rows_of(response) -> list[dict[str, str]]:
    assert response.status_code == 200
    assert response.headers["Content-Type"] == "text/csv; charset=utf-8"
    return list(csv.DictReader(io.StringIO(response.content.decode(), newline="")))


@pytest.fixture
def reader(client, viewer):
    client.force_login(viewer)
    return client


def test_every_food_that_the_search_finds(reader):
    rows = rows_of(reader.get(reverse("nutrients:food-csv"), {"q": "liver", "state": "raw"}))
    found = Food.objects.filter(name__icontains="liver", state="raw").values_list("name", flat=True)
    assert {row["food"] for row in rows} == set(found)
    assert len(rows) > 1


def test_a_list_longer_than_a_page_comes_whole(reader):
    assert len(rows_of(reader.get(reverse("nutrients:food-csv")))) == Food.objects.count()


def test_the_order_of_the_list_and_what_it_is_sorted_by(reader):
    asked = {"q": "liver", "sort": "copper", "order": "asc"}
    rows = rows_of(reader.get(reverse("nutrients:food-csv"), asked))
    amounts = [float(row["Copper (mg per 100 g)"]) for row in rows if row["Copper (mg per 100 g)"]]
    assert len(amounts) > 3
    assert amounts == sorted(amounts)
    assert not any(row["Copper (mg per 100 g)"] for row in rows[len(amounts) :])


def test_nothing_found_is_an_empty_table(reader):
    assert rows_of(reader.get(reverse("nutrients:food-csv"), {"q": "unicorn"})) == []


def test_the_list_leads_to_the_file_with_its_filters(reader):
    page = reader.get(reverse("nutrients:food-list"), {"q": "beef", "page": "2"}).content.decode()
    assert f'href="{reverse("nutrients:food-csv")}?q=beef"' in page


def test_the_values_of_a_food(reader):
    value = FoodValue.objects.get(food__name="Beef liver, raw", nutrient__key="copper")
    rows = rows_of(reader.get(reverse("nutrients:food-values-csv", args=[value.food_id])))
    (copper,) = [row for row in rows if row["nutrient"] == "Copper"]
    assert (float(copper["per 100 g"]), copper["unit"]) == (value.per_100g, "mg")
    assert (copper["kind"], copper["source"]) == ("published", value.source)
    assert copper["at least"] == ""
    assert len(rows) == value.food.values.count()


def test_names_that_look_like_formulas_are_disarmed(reader):
    Food.objects.create(name='=HYPERLINK("x")', group="organ", state="raw", source="@home")
    (row,) = rows_of(reader.get(reverse("nutrients:food-csv"), {"q": "HYPERLINK"}))
    assert (row["food"], row["source"]) == ('\'=HYPERLINK("x")', "'@home")
    assert (row["protein (g per 100 g)"], row["values known"]) == ("", "0")
