"""The library and an adequacy table as files."""

import csv
import io

import pytest
from django.urls import reverse

from recipes import queries
from tests import cast

pytestmark = pytest.mark.django_db


def rows_of(response) -> list[dict[str, str]]:
    assert response.status_code == 200
    return list(csv.DictReader(io.StringIO(response.content.decode(), newline="")))


def test_the_recipes_that_the_search_finds(signed_in):
    version = cast.make_recipe("Turkey stew")
    cast.make_recipe("Barley broth")
    (row,) = rows_of(signed_in.get(reverse("recipes:recipe-csv"), {"q": "turkey"}))
    analysis = queries.analysis_of(version)
    assert (row["recipe"], row["version"], row["state"]) == ("Turkey stew", "1", "draft")
    per_100g = float(row["energy by 4/9/4 (kcal per 100 g cooked)"])
    assert per_100g == pytest.approx(100 * analysis.energy.kcal / analysis.fed_g)
    assert float(row["energy from protein (%)"]) == pytest.approx(
        100 * analysis.energy.protein_kcal / analysis.energy.kcal
    )
    answers = ("met", "below minimum", "above maximum", "cannot be confirmed")
    assert sum(int(row[answer]) for answer in answers) == len(analysis.judgement)


def test_an_empty_recipe_has_no_figures(signed_in):
    version = cast.make_recipe("Nothing yet")
    version.ingredients.all().delete()
    (row,) = rows_of(signed_in.get(reverse("recipes:recipe-csv")))
    assert (row["recipe"], row["met"], row["cooked weight"]) == ("Nothing yet", "", "")


def test_the_list_leads_to_the_file_with_its_filters(signed_in):
    cast.make_recipe()
    page = signed_in.get(reverse("recipes:recipe-list"), {"state": "draft"}).content.decode()
    assert f'href="{reverse("recipes:recipe-csv")}?state=draft"' in page


def test_an_adequacy_table(signed_in):
    version = cast.make_recipe()
    judgement = queries.analysis_of(version).judgement
    rows = rows_of(signed_in.get(reverse("recipes:adequacy-csv", args=[version.pk])))
    assert [row["nutrient"] for row in rows] == list(judgement["name"])
    calcium = next(row for row in rows if row["nutrient"] == "Calcium")
    assert float(calcium["amount per 1000 kcal (a ratio as such)"]) == judgement.at["calcium", "amount"]
    assert calcium["answer for the minimum"] == "Below minimum"
    assert calcium["answer for the maximum"].startswith("Within maximum")


def test_the_profile_and_what_is_open_can_be_chosen(signed_in):
    version = cast.make_recipe()
    address = reverse("recipes:adequacy-csv", args=[version.pk])
    response = signed_in.get(address, {"profile": "fediaf-adult-95", "open": "1"})
    assert response.headers["Content-Disposition"].endswith('"turkey-and-rice-1-fediaf-adult-95.csv"')
    opened = ("Below", "Above", "Cannot")
    rows = rows_of(response)
    assert rows
    for row in rows:
        assert row["answer for the minimum"].startswith(opened) or row["answer for the maximum"].startswith(
            opened
        )


def test_what_cannot_be_judged_is_not_found(signed_in):
    version = cast.make_recipe()
    address = reverse("recipes:adequacy-csv", args=[version.pk])
    assert signed_in.get(address, {"profile": "none-such"}).status_code == 404
    version.ingredients.all().delete()
    assert signed_in.get(address).status_code == 404
