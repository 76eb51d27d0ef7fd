"""The list of foods sorted by what they hold, with and without htmx."""

import pytest
from django.urls import reverse

from nutrients import queries
from nutrients.models import Food
from tests.nutrients.foods import make_food

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}
LIST = reverse("nutrients:food-list")


@pytest.fixture
def reader(client, viewer):
    client.force_login(viewer)
    return client


@pytest.fixture(autouse=True)
def _foods(db):
    """137 and 82 kcal in 100 g by 4/9/4 (worked out in test_food_amounts); of the oats no fibre is known."""
    make_food("Moon hare", water=70, protein=20, fat=5, ash=1, fiber=1, zinc=4, iron=1)
    make_food("Moon carp", water=80, protein=10, fat=2, ash=2, fiber=0, zinc=3, iron=2)
    make_food("Moon oats", state="cooked", water=10, protein=12, fat=7, ash=2, iron=3)


def shown(reader, **asked) -> list[tuple]:
    rows = reader.get(LIST, {"q": "moon", **asked}).context["foods"]
    return [(row.food.name, row.ranked and row.ranked.amount, row.ranked and row.ranked.why) for row in rows]


def test_by_name_when_nothing_else_is_asked(reader):
    assert shown(reader) == [("Moon carp", None, None), ("Moon hare", None, None), ("Moon oats", None, None)]


def test_most_first_with_the_unknown_last(reader):
    assert shown(reader, sort="zinc", order="desc") == [
        ("Moon hare", 4, ""),
        ("Moon carp", 3, ""),
        ("Moon oats", None, "unknown"),
    ]


def test_least_first_with_the_unknown_last(reader):
    assert [name for name, *_ in shown(reader, sort="zinc", order="asc")] == [
        "Moon carp",
        "Moon hare",
        "Moon oats",
    ]


def test_per_1000_kcal_another_food_is_the_richest(reader):
    names, amounts, _ = zip(*shown(reader, sort="zinc", per="1000kcal", order="desc"), strict=True)
    assert names == ("Moon carp", "Moon hare", "Moon oats")
    assert amounts[:2] == pytest.approx([3 / 0.082, 4 / 0.137])
    assert amounts[2] is None


def test_per_gram_of_protein(reader):
    rows = shown(reader, sort="iron", per="protein")
    assert rows == [
        ("Moon oats", pytest.approx(3 / 12), ""),
        ("Moon carp", pytest.approx(2 / 10), ""),
        ("Moon hare", pytest.approx(1 / 20), ""),
    ]


def test_the_chosen_nutrient_stands_in_a_column_with_its_unit_and_basis(reader):
    page = reader.get(LIST, {"q": "moon", "sort": "zinc", "per": "1000kcal"}).content.decode()
    assert "mg per 1000 kcal" in page
    assert "36.59" in page  # 3 / 0.082
    assert '<span class="unknown">unknown</span>' in page
    assert "unknown last" in page


def test_sorting_and_filters_go_together(reader):
    assert [name for name, *_ in shown(reader, sort="iron", state="raw")] == ["Moon carp", "Moon hare"]


def test_a_page_further_on_goes_on_with_the_order(reader):
    first, second = (reader.get(LIST, {"sort": "zinc", "page": number}).context["foods"] for number in (1, 2))
    amounts = [row.ranked.amount for row in [*first, *second]]
    assert len(amounts) == 120
    assert amounts == sorted(amounts, reverse=True)


def test_every_food_is_in_the_sorted_list_once(reader):
    page = reader.get(LIST, {"sort": "iodine"}).context["page"]
    assert page.paginator.count == Food.objects.count() == len(set(page.paginator.object_list))


def test_htmx_gets_the_sorted_rows_alone(reader):
    response = reader.get(LIST, {"q": "moon", "sort": "zinc"}, headers=HTMX)
    assert "<html" not in response.content.decode()
    assert response.content.decode().index("Moon hare") < response.content.decode().index("Moon carp")


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"sort": "moonstone"}, "There is no “moonstone” under “Sorted by”"),
        ({"sort": "zinc", "per": "cup"}, "There is no “cup” under “Amount”"),
        ({"sort": "zinc", "order": "up"}, "There is no “up” under “Order”"),
        ({"group": "<b>"}, "There is no “&lt;b&gt;” under “Group”"),
    ],
)
def test_what_is_not_understood_is_left_out_and_said(reader, asked, said):
    response = reader.get(LIST, {"q": "moon", **asked}, headers=HTMX)
    assert response.status_code == 200
    assert said in response.content.decode()
    assert len(response.context["foods"]) == 3


def test_an_unknown_key_sorts_by_name(reader):
    assert shown(reader, sort="moonstone") == shown(reader)


def test_an_unknown_basis_or_order_gives_way_to_the_usual(reader):
    usual = shown(reader, sort="zinc", per="100g", order="desc")
    assert shown(reader, sort="zinc", per="cup", order="up") == usual


def test_an_amount_that_rests_on_an_estimate_is_marked(reader):
    hare = Food.objects.get(name="Moon hare")
    hare.values.filter(nutrient__key="ash").update(kind="estimate")
    assert (
        "estimate" not in reader.get(LIST, {"q": "moon hare", "sort": "zinc"}, headers=HTMX).content.decode()
    )
    asked = {"q": "moon hare", "sort": "zinc", "per": "1000kcal"}
    assert "estimate" in reader.get(LIST, asked, headers=HTMX).content.decode()


def test_a_bound_is_no_amount(reader):
    hare = Food.objects.get(name="Moon hare")
    hare.values.filter(nutrient__key="zinc").update(kind="bound", per_100g=None, low=9)
    assert shown(reader, sort="zinc")[0][0] == "Moon carp"


def test_ticked_foods_stay_ticked_when_the_search_changes(reader):
    hare = Food.objects.get(name="Moon hare")
    page = reader.get(LIST, {"q": "kale", "food": [hare.pk, "x", 10**30]}, headers=HTMX)
    assert page.context["ticked"] == [hare]
    assert f'name="food" value="{hare.pk}" form="food-search" checked' in page.content.decode()


def test_no_list_reads_the_whole_food_table(reader, monkeypatch):
    monkeypatch.setattr(queries, "_food_table", lambda *_: pytest.fail("the whole table was read"))
    assert shown(reader)
    assert shown(reader, sort="zinc", per="1000kcal")


@pytest.mark.parametrize("per", ["100g", "1000kcal", "protein"])
def test_a_sorted_list_asks_the_database_a_few_times_only(reader, django_assert_max_num_queries, per):
    asked = {"q": "moon", "sort": "zinc", "per": per}
    reader.get(LIST, asked)
    with django_assert_max_num_queries(24):
        reader.get(LIST, asked)
