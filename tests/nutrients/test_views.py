"""The pages of foods: the search with and without htmx, and what a food's page says."""

import pytest
from django.urls import reverse
from django.utils import timezone

from nutrients import own_foods
from nutrients.models import Food, FoodValue, Nutrient
from tests.nutrients.foods import make_food

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}
LIST = reverse("nutrients:food-list")


@pytest.fixture
def reader(client, viewer):
    client.force_login(viewer)
    return client


def page_of(client, name):
    return client.get(Food.objects.get(name=name).get_absolute_url())


def test_the_list_shows_foods_and_supplements(reader):
    page = reader.get(LIST).content.decode()
    assert "<html" in page
    assert "Beef liver, raw" in page


def test_the_same_address_gives_the_rows_alone_to_htmx(reader):
    response = reader.get(LIST, {"q": "liver raw"}, headers=HTMX)
    rows = response.content.decode()
    assert "nutrients/_food_rows.html" in [template.name for template in response.templates]
    assert "<html" not in rows
    assert "Beef liver, raw" in rows
    assert "Beef liver, braised" not in rows
    assert "HX-Request" in response["Vary"]


def test_all_the_words_must_stand_in_the_name_in_any_order(reader):
    assert "Beef liver, raw" in reader.get(LIST, {"q": "RAW liver beef"}).content.decode()


def test_names_that_begin_with_the_words_come_first(reader):
    rows = reader.get(LIST, {"q": "chicken"}).context["foods"]
    begins = [row.food.name.lower().startswith("chicken") for row in rows]
    assert begins[0]
    assert begins == sorted(begins, reverse=True)


def test_it_shows_the_foods_of_one_group_and_state(reader):
    rows = reader.get(LIST, {"group": "organ", "state": "cooked"}).context["foods"]
    assert rows
    assert {(row.food.group, row.food.state) for row in rows} == {("organ", "cooked")}


@pytest.mark.parametrize(("kind", "wanted"), [("foods", False), ("supplements", True)])
def test_it_tells_foods_from_supplements(reader, kind, wanted):
    rows = reader.get(LIST, {"kind": kind}).context["foods"]
    assert {hasattr(row.food, "supplement") for row in rows} == {wanted}


def test_a_long_list_comes_in_pages_of_sixty(reader):
    first, second = (reader.get(LIST, {"page": number}).context["foods"] for number in (1, 2))
    assert len(first) == 60
    assert not {row.food for row in first} & {row.food for row in second}


def test_a_search_without_result_says_what_belongs_here(reader):
    assert "No food is called that" in reader.get(LIST, {"q": "moonstone"}).content.decode()


@pytest.mark.parametrize("asked", [{"q": "a\x00b"}, {"group": "no such"}, {"page": "x"}, {"kind": "<b>"}])
def test_a_search_that_makes_no_sense_is_no_error(reader, asked):
    assert reader.get(LIST, asked).status_code == 200


def test_the_list_asks_the_database_a_few_times_only(reader, django_assert_max_num_queries):
    reader.get(LIST)
    with django_assert_max_num_queries(16):
        reader.get(LIST)


def test_a_food_says_its_energy_published_and_by_factors(reader):
    # USDA SR28, NDB 13325: protein 20.36, fat 3.63, carbohydrate 3.89, fibre 0 -> 81.4 + 32.7 + 15.6 = 129.7
    page = page_of(reader, "Beef liver, raw").content.decode()
    assert "Beef liver, raw: 135 kcal in 100 g published, 130 kcal by 4/9/4; organ, raw." in page
    assert "13325" in page


def test_a_value_that_is_missing_is_named_as_missing_and_is_no_zero(reader):
    groups = dict(page_of(reader, "Beef liver, raw").context["groups"])
    rows = {row.name: row for rows in groups.values() for row in rows}
    assert rows["Taurine"].amount is None
    assert rows["Taurine"].source == "no value in the release used"
    assert rows["Iron"].amount == pytest.approx(4.9)


def test_derived_amounts_are_worked_out_from_their_parts(reader):
    rows = {row.name: row for _, rows in page_of(reader, "Beef liver, raw").context["groups"] for row in rows}
    methionine_and_cystine = rows["Methionine"].amount + rows["Cystine"].amount
    assert rows["Methionine + cystine"].amount == pytest.approx(methionine_and_cystine)
    assert rows["Methionine + cystine"].kind == "worked out"


def test_a_supplement_shows_its_label_and_how_it_was_read(reader):
    page = page_of(reader, "Vitamin E capsule, 100 IU").content.decode()
    assert "100 IU per capsule" in page
    assert "weighs 0.3 g" in page
    assert "heat-sensitive" in page
    assert "67.1 mg" in page  # 100 IU / 1.49 IU per mg


def test_a_value_that_was_typed_in_is_entered_and_one_that_was_loaded_is_changed(reader):
    liver = Food.objects.get(name="Beef liver, raw")
    iodine = Nutrient.objects.get(key="iodine")
    FoodValue.objects.filter(food=liver, nutrient=iodine).delete()
    FoodValue.objects.create(food=liver, nutrient=iodine, per_100g=12, kind="estimate", source="as chicken")
    zinc = liver.values.get(nutrient__key="zinc")
    zinc.per_100g = 5
    zinc.save()
    page = page_of(reader, liver.name).content.decode()
    assert "estimate</span>, entered " in page
    assert "<summary>published, changed " in page


def test_the_retention_factors_can_be_scrolled_by_keyboard(reader):
    page = page_of(reader, "Beef liver, raw").content.decode()
    region = page[page.rindex("<div", 0, page.index("Percent of the nutrient that is left")) :]
    assert region.startswith('<div class="table-wrap" tabindex="0" role="region" aria-label="')


def test_a_food_with_a_caution_says_it(reader):
    assert "Take care: fruit pits and seeds" in page_of(reader, "Apple, with skin, raw").content.decode()
    assert "Take care" not in page_of(reader, "Pearled barley, dry").content.decode()


def test_a_page_of_no_food_is_not_found(reader):
    assert reader.get(reverse("nutrients:food-detail", args=[0])).status_code == 404


def test_a_food_asks_the_database_a_few_times_only(reader, django_assert_max_num_queries):
    page_of(reader, "Vitamin E capsule, 100 IU")
    with django_assert_max_num_queries(25):
        page_of(reader, "Vitamin E capsule, 100 IU")


def test_somebody_without_a_role_sees_no_food(client, django_user_model):
    client.force_login(django_user_model.objects.create_user("nobody"))
    assert client.get(LIST).status_code == 403


# ---- where a value comes from ----


@pytest.fixture
def hare():
    # NFE 100 - 70 - 20 - 5 - 1 - 1 = 3; 4 x 20 + 9 x 5 + 4 x 3 = 137 kcal
    return make_food("Moon hare", water=70, protein=20, fat=5, ash=1, fiber=1, zinc=4)


def values_of(reader, name) -> dict:
    return {row.name: row for _, rows in page_of(reader, name).context["groups"] for row in rows}


def test_energy_by_factors_stands_beside_the_published_one(reader, hare):
    groups = dict(page_of(reader, "Moon hare").context["groups"])
    published, by_factors = groups["Energy and water"][:2]
    assert (published.name, published.amount) == ("Energy, published", None)
    assert (by_factors.name, by_factors.amount, by_factors.kind) == ("Energy by 4/9/4", 137, "worked out")


def test_energy_is_unknown_while_a_part_is(reader, hare):
    hare.values.filter(nutrient__key="fiber").delete()
    assert values_of(reader, "Moon hare")["Energy by 4/9/4"].amount is None


def test_what_rests_on_an_estimate_says_so(reader, hare):
    assert "estimate" not in values_of(reader, "Moon hare")["Energy by 4/9/4"].source
    hare.values.filter(nutrient__key="ash").update(kind="estimate", low=0.5, high=2)
    rows = values_of(reader, "Moon hare")
    assert rows["Energy by 4/9/4"].source.endswith("a part is an estimate")
    assert (rows["Ash"].kind, rows["Ash"].low, rows["Ash"].high) == ("estimate", 0.5, 2)
    assert "at least 0.5, at most 2.0" in page_of(reader, "Moon hare").content.decode()


def test_a_bound_is_shown_and_is_no_amount(reader, hare):
    hare.values.filter(nutrient__key="zinc").update(kind="bound", per_100g=None, low=9)
    row = values_of(reader, "Moon hare")["Zinc"]
    assert (row.amount, row.kind, row.low, row.high) == (None, "bound", 9, None)


def test_the_source_of_a_value_is_on_its_page(reader):
    page = page_of(reader, "Beef liver, raw").content.decode()
    assert "USDA SR28" in page
    assert "changed" not in page.partition('id="values"')[2].partition("</table>")[0]


def test_a_changed_value_says_when_by_whom_and_why(reader, hare, staff):
    zinc = Nutrient.objects.get(key="zinc")
    typed = FoodValue(nutrient=zinc, per_100g=5, kind="laboratory", source="report 7")
    own_foods.set_value(food=hare, value=typed, by=staff, reason="weighed again")
    row = values_of(reader, "Moon hare")["Zinc"]
    assert (row.amount, row.change.history_user) == (5, staff)
    page = page_of(reader, "Moon hare").content.decode()
    assert f"changed {timezone.localdate():%-d %B %Y}" in page
    assert "by sam: weighed again" in page


def test_a_value_that_was_taken_back_says_so(reader, hare, staff):
    zinc = Nutrient.objects.get(key="zinc")
    own_foods.withdraw_value(food=hare, nutrient=zinc, by=staff, reason="another animal")
    assert values_of(reader, "Moon hare")["Zinc"].amount is None
    page = page_of(reader, "Moon hare").content.decode()
    assert "Taken back" in page
    assert "by sam: another animal" in page


def test_a_food_leads_to_its_comparison(reader, hare):
    link = f"{reverse('nutrients:food-compare')}?food={hare.pk}"
    assert link in page_of(reader, "Moon hare").content.decode()
