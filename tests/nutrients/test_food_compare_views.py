"""The page of foods side by side, and the search for one more."""

import pytest
from django.urls import reverse

from nutrients.models import Food
from tests.nutrients.foods import make_food

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}
COMPARE = reverse("nutrients:food-compare")


@pytest.fixture
def reader(client, viewer):
    client.force_login(viewer)
    return client


@pytest.fixture
def hare():
    return make_food("Moon hare", water=70, protein=20, fat=5, ash=1, fiber=1, zinc=2)


@pytest.fixture
def carp():
    return make_food("Moon carp", water=80, protein=10, fat=2, ash=2, fiber=0, zinc=4.8, iodine=7)


def compared(reader, *foods, **asked):
    return reader.get(COMPARE, {"food": [food.pk for food in foods], **asked})


def rows(response) -> dict:
    return {row.name: row for _, lines in response.context["page"].groups for row in lines}


def test_two_foods_stand_side_by_side_in_the_order_asked_for(reader, hare, carp):
    response = compared(reader, carp, hare)
    page = response.content.decode()
    assert "Moon carp beside Moon hare, per 100 g." in page
    assert [cell.measured.amount for cell in rows(response)["Zinc"].cells] == [4.8, 2]
    assert rows(response)["Zinc"].cells[1].times == "0.42 x"


def test_a_difference_is_a_bar_and_words(reader, hare, carp):
    page = compared(reader, hare, carp).content.decode()
    assert "2.4 x" in page
    assert 'width="41.7"' in page  # 2.0 of 4.8
    assert "style=" not in page


def test_every_nutrient_and_the_energy_by_factors_have_a_row(reader, hare, carp):
    found = rows(compared(reader, hare, carp))
    assert [cell.measured.amount for cell in found["Energy by 4/9/4"].cells] == pytest.approx([137, 82])
    assert {"Calcium : phosphorus", "Vitamin A", "Taurine", "Energy, published"} <= found.keys()


def test_what_is_unknown_is_named(reader, hare, carp):
    response = compared(reader, hare, carp)
    first, second = response.context["page"].columns
    assert "Iodine" in first.unknown
    assert "Iodine" not in second.unknown
    cells = rows(response)["Iodine"].cells
    assert (cells[0].measured.amount, cells[0].measured.why, cells[1].times) == (None, "unknown", "")


def test_per_1000_kcal_and_per_gram_of_protein(reader, hare, carp):
    per_kcal = rows(compared(reader, hare, carp, per="1000kcal"))["Zinc"].cells
    assert [cell.measured.amount for cell in per_kcal] == pytest.approx([2 / 0.137, 4.8 / 0.082])
    per_protein = rows(compared(reader, hare, carp, per="protein"))["Zinc"].cells
    assert [cell.measured.amount for cell in per_protein] == pytest.approx([0.1, 0.48])


def test_an_unknown_basis_is_per_100_g(reader, hare, carp):
    assert compared(reader, hare, carp, per="cup").context["page"].per == "100g"


def test_four_can_be_compared_and_five_cannot(reader):
    foods = list(Food.objects.all()[:5])
    assert len(rows(compared(reader, *foods[:4]))["Zinc"].cells) == 4
    response = compared(reader, *foods)
    assert response.status_code == 200
    assert (
        "5 foods are chosen, and 4 at most stand side by side: take some away." in response.content.decode()
    )
    assert response.context["page"].groups == []
    assert all(food.name in response.content.decode() for food in foods)


def test_one_food_asks_for_another(reader, hare):
    page = compared(reader, hare).content.decode()
    assert "Choose another food to compare with Moon hare." in page
    assert "Side by side" not in page


def test_no_food_asks_for_the_first(reader):
    assert "No food is chosen yet" in reader.get(COMPARE).content.decode()


def test_the_same_food_twice_is_one(reader, hare):
    assert "Choose another food" in compared(reader, hare, hare).content.decode()


@pytest.mark.parametrize("key", ["x", "-1", "0", "9" * 30, "²"])
def test_a_food_that_is_not_there_is_left_out_and_said(reader, hare, carp, key):
    response = reader.get(COMPARE, {"food": [hare.pk, key, carp.pk]})
    assert response.status_code == 200
    assert "A food that was asked for is not here: it was left out." in response.content.decode()
    assert len(rows(response)["Zinc"].cells) == 2


def test_a_food_can_be_taken_away_or_put_first(reader, hare, carp):
    first, second = compared(reader, hare, carp).context["page"].columns
    assert first.without == [carp.pk]
    assert second.first == [carp.pk, hare.pk]


def test_the_search_for_another_food_offers_it_with_those_chosen(reader, hare, carp):
    page = compared(reader, hare, find="moon").content.decode()
    assert "Add Moon carp" in page
    assert "Add Moon hare" not in page
    assert f"food={hare.pk}&amp;food={carp.pk}" in page


def test_htmx_gets_the_foods_found_alone(reader, hare, carp):
    response = reader.get(COMPARE, {"food": hare.pk, "find": "moon"}, headers=HTMX)
    assert "nutrients/_compare_found.html" in [template.name for template in response.templates]
    assert "<html" not in response.content.decode()
    assert "Add Moon carp" in response.content.decode()


def test_a_search_without_result_says_so(reader, hare):
    assert "No other food is called “moonstone”" in compared(reader, hare, find="moonstone").content.decode()


def test_a_comparison_asks_the_database_a_few_times_only(reader, hare, carp, django_assert_max_num_queries):
    compared(reader, hare, carp)
    with django_assert_max_num_queries(14):
        compared(reader, hare, carp)


def test_somebody_without_a_role_compares_nothing(client, django_user_model):
    client.force_login(django_user_model.objects.create_user("nobody"))
    assert client.get(COMPARE).status_code == 403
