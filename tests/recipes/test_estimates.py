"""Amounts that rest on an estimate: marked wherever they are shown, and left out when that is asked for."""

import pytest
from django.urls import reverse

from nutrients.models import Food, FoodValue, Nutrient
from recipes import queries
from tests import cast
from tests.recipes.form_data import RICE, TURKEY, form_data, line

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}
PANEL = reverse("recipes:version-panel")
TAG = '<span class="tag guess">estimate</span>'


@pytest.fixture
def guessed():
    """The iodine of the turkey, 10 ug in 100 g, is an estimate: no release gives one."""
    food, iodine = Food.objects.get(name=TURKEY), Nutrient.objects.get(key="iodine")
    return FoodValue.objects.create(
        food=food, nutrient=iodine, per_100g=10, kind=FoodValue.Kind.ESTIMATE, source="as chicken"
    )


@pytest.fixture
def version():
    return cast.make_recipe(amounts={TURKEY: 500, RICE: 200}, method="not_heated")


def rows_of(response):
    return {row.key: row for _, rows in response.context["page"].worked_out.groups for row in rows}


def table_row(page: str, name: str) -> str:
    start = page.index(f'<th scope="row">{name} ')
    return page[start : page.index("</tr>", start)]


def test_a_recipe_marks_the_rows_that_rest_on_an_estimate_and_names_the_foods(signed_in, version, guessed):
    response = signed_in.get(version.recipe.get_absolute_url())
    marked = {key for key, row in rows_of(response).items() if row.estimated}
    assert marked == {"iodine"}
    page = response.content.decode()
    assert page.count(TAG) == 1
    assert TAG in table_row(page, "Iodine")
    assert f"in {TURKEY}" in table_row(page, "Iodine")


def test_nothing_is_marked_nor_offered_without_an_estimate(signed_in, version):
    page = signed_in.get(version.recipe.get_absolute_url()).content.decode()
    assert TAG not in page
    assert "leave estimates out" not in page


def test_what_is_estimated_is_unknown_once_estimates_are_left_out(signed_in, version, guessed):
    address = version.recipe.get_absolute_url()
    with_them = rows_of(signed_in.get(address))["iodine"]
    # 500 g with 10 ug in 100 g: 50 ug; turkey 4 x 18.73 + 9 x 8.34 = 149.98 kcal in 100 g, rice adds its own
    kcal = queries.analysis_of(version).energy.kcal
    assert with_them.amount * kcal / 1000 == pytest.approx(50 if with_them.unit == "ug" else 0.05)
    response = signed_in.get(address, {"estimates": "off"})
    without = rows_of(response)["iodine"]
    assert (without.amount, without.estimated) == (None, ())
    assert set(without.missing) == {TURKEY, RICE}
    page = response.content.decode()
    assert "Estimates are left out here, 1 value:" in page
    assert TAG not in page
    assert 'name="estimates" value="off" form="view-form" checked' in page


def test_no_amount_leads_to_an_origin_that_counts_estimates_while_they_are_left_out(
    signed_in, version, guessed
):
    address, origin = (
        version.recipe.get_absolute_url(),
        reverse("recipes:version-provenance", args=[version.pk]),
    )
    assert origin in signed_in.get(address).content.decode()
    assert origin not in signed_in.get(address, {"estimates": "off"}).content.decode()


def test_the_file_leaves_estimates_out_as_its_page_does(signed_in, version, guessed):
    address = reverse("recipes:adequacy-csv", args=[version.pk])
    page = signed_in.get(version.recipe.get_absolute_url(), {"estimates": "off"}).content.decode()
    assert f"{address}?profile=aafco-adult&amp;estimates=off" in page

    def iodine(**asked):
        lines = signed_in.get(address, asked).content.decode("utf-8-sig").splitlines()
        return next(each for each in lines if ",Iodine," in each)

    assert TURKEY not in iodine().replace('"', "")
    assert TURKEY in iodine(estimates="off").replace('"', "")


def test_a_recipe_of_estimates_alone_can_count_them_again(signed_in):
    version = cast.make_recipe(amounts={TURKEY: 500})
    FoodValue.objects.filter(food__name=TURKEY).update(kind=FoodValue.Kind.ESTIMATE)
    response = signed_in.get(version.recipe.get_absolute_url(), {"estimates": "off"})
    assert response.context["page"].worked_out is None
    assert '<a href="?version=1">Count the estimates</a>' in response.content.decode()


def test_the_panel_marks_what_rests_on_an_estimate(signed_in, guessed):
    data = form_data(line(TURKEY, "500"), line(RICE, "200"))
    response = signed_in.post(PANEL, data, headers=HTMX)
    opened = [row for _, rows in response.context["panel"].found.groups for row in rows]
    assert {row.key: row.estimated for row in opened}["iodine"] == (TURKEY,)
    assert response.content.decode().count(TAG) == 1
