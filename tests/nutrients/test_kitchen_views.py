"""Cooking losses and yields: tables to look into, and factors changed with a reason."""

import pytest
from django.urls import reverse

from nutrients import queries
from nutrients.models import BatchYield, CookingYield, Retention
from recipes.queries import analysis_of
from tests import cast

pytestmark = pytest.mark.django_db
FACTORS = reverse("nutrients:retention-list")
BATCHES = reverse("nutrients:batch-yield-list")
YIELDS = reverse("nutrients:cooking-yield-list")


@pytest.fixture
def reader(client, viewer):
    client.force_login(viewer)
    return client


def thiamine(method="slow_cooked_liquid_kept", group="beef"):
    return Retention.objects.get(food_group=group, method=method, nutrient__key="thiamine")


def pot():
    return BatchYield.objects.get(retention_group="pot", method="simmered_liquid_kept")


def typed(row, **changes):
    newest = row.history.first()
    shown = {"percent": f"{row.percent:g}", "certainty": row.certainty, "source": row.source}
    return (
        shown
        | {"note": getattr(row, "note", ""), "reason": "weighed", "seen": str(newest.pk) if newest else ""}
        | changes
    )


def post(client, row, **changes):
    return client.post(row.get_absolute_url(), typed(row, **changes))


def cells(response):
    """(row, column) -> factor, for what is known."""
    rows = response.context["matrix"].rows
    return {(c.row_name, c.column): c.row for _, line in rows for c in line if c.row}


def test_one_method_shows_groups_by_nutrients(reader):
    response = reader.get(FACTORS)
    # USDA Table of Nutrient Retention Factors, Release 6, code 0654: beef simmered with drippings
    assert cells(response)["beef", "Thiamine (B1)"].percent == 60
    assert "simmered, liquid kept" in response.content.decode()


def test_one_group_shows_nutrients_by_methods(reader):
    response = reader.get(FACTORS, {"group": "beef"})
    assert response.context["matrix"].corner == "Nutrient"
    assert cells(response)["Thiamine (B1)", "baked"].percent == 55
    assert len(response.context["matrix"].columns) == 9


def test_one_nutrient_shows_groups_by_methods(reader):
    known = cells(reader.get(FACTORS, {"nutrient": "thiamine"}))
    assert known["beef", "baked"].percent == 55
    assert {factor.nutrient.key for factor in known.values()} == {"thiamine"}


def test_all_three_can_be_chosen_together(reader):
    known = cells(reader.get(FACTORS, {"group": "beef", "nutrient": "thiamine", "method": "baked"}))
    assert [factor.percent for factor in known.values()] == [55]


@pytest.mark.parametrize(
    "asked", [{"method": ""}, {"method": "toasted"}, {"group": "moon"}, {"nutrient": "x\x00"}]
)
def test_what_makes_no_sense_is_said_and_the_usual_shown(reader, asked):
    response = reader.get(FACTORS, asked)
    assert response.status_code == 200
    assert response.context["form"].errors
    assert ("beef", "Thiamine (B1)") in cells(response)


def test_slow_cooked_thiamine_is_shown_as_what_it_is(reader):
    response = reader.get(FACTORS, {"method": "slow_cooked_liquid_kept"})
    marked = {cell.column for _, line in response.context["matrix"].rows for cell in line if cell.in_doubt}
    assert marked == {"Thiamine (B1)"}
    page = response.content.decode()
    assert "Thiamine (B1), memory:" in page
    assert "common practice, no source" in page
    assert "common practice, no source" in reader.get(thiamine().get_absolute_url()).content.decode()


def test_a_factor_is_changed_with_its_reason(signed_in, practitioner):
    factor = thiamine()
    assert post(signed_in, factor, percent="45,5", reason="our own analysis").status_code == 302
    assert queries.retention_table().at[("beef", factor.method), "thiamine"] == pytest.approx(0.455)
    before, after = factor.history.order_by("history_id")
    assert (before.percent, before.history_user) == (30, None)
    assert (after.percent, after.history_user, after.history_change_reason) == (
        45.5, practitioner, "our own analysis",
    )  # fmt: skip
    page = signed_in.get(factor.get_absolute_url())
    (change,) = page.context["changes"]
    assert (change.who, [(d.before, d.after) for d in change.differences]) == ("robin", [("30", "45.5")])
    assert "†" in signed_in.get(FACTORS, {"nutrient": "thiamine"}).content.decode()


@pytest.mark.parametrize("percent", ["-1", "100.1", "much", "1e308", "", "nan"])
def test_a_share_that_cannot_be_is_refused_and_not_lost(signed_in, percent):
    factor = thiamine()
    response = post(signed_in, factor, percent=percent, note="Kept words.")
    assert response.status_code == 200
    assert list(response.context["form"].errors) == ["percent"]
    assert "Kept words." in response.content.decode()
    factor.refresh_from_db()
    assert (factor.percent, factor.history.count()) == (30, 0)


@pytest.mark.parametrize("percent", ["0", "100"])
def test_nothing_and_everything_can_be_left(signed_in, percent):
    assert post(signed_in, thiamine(), percent=percent).status_code == 302
    assert thiamine().percent == float(percent)


def test_a_factor_needs_a_reason_and_a_difference(signed_in):
    assert list(post(signed_in, thiamine(), percent="45", reason="").context["form"].errors) == ["reason"]
    assert list(post(signed_in, thiamine()).context["form"].errors) == ["__all__"]


def test_what_another_person_changed_meanwhile_is_not_overwritten(signed_in):
    opened = typed(thiamine(), percent="50")
    post(signed_in, thiamine(), percent="45")
    response = signed_in.post(thiamine().get_absolute_url(), opened)
    assert "Somebody changed this" in response.content.decode()
    assert thiamine().percent == 45


def test_the_pot_stands_first_among_the_batches(reader):
    response = reader.get(BATCHES)
    assert response.context["matrix"].rows[0][0] == "pot"
    # USDA Table of Cooking Yields, Release 2: beef retail cuts, baked or roasted, 79 %
    assert cells(response)["beef", "baked"].percent == 79


def test_a_measured_yield_needs_no_other_source(signed_in):
    row = pot()
    sent = post(
        signed_in, row, percent="88", measured="on", source="", certainty="", reason="12 pots weighed"
    )
    assert sent.status_code == 302
    row.refresh_from_db()
    assert (row.percent, row.source, row.certainty) == (88, "measured by the practice", "verified")
    assert queries.batch_yields()["pot", "simmered_liquid_kept"] == 88


def test_a_yield_that_was_not_measured_needs_its_source(signed_in):
    response = post(signed_in, pot(), percent="88", source="", certainty="")
    assert set(response.context["form"].errors) == {"source", "certainty"}


@pytest.mark.parametrize("percent", ["0", "-5", "1001", "1e308", "half"])
def test_a_yield_that_cannot_be_is_refused(signed_in, percent):
    response = post(signed_in, pot(), percent=percent)
    assert list(response.context["form"].errors) == ["percent"]
    assert pot().percent == 93


def test_a_batch_weighs_by_the_measured_yield_unless_it_was_weighed(signed_in):
    """500 g turkey and 300 g water: 800 g x 88 %; a weighed pot wins."""
    version = cast.make_recipe(added_water_g=300)
    post(signed_in, pot(), percent="88", measured="on")
    assert analysis_of(version).cooked_g == pytest.approx(704)
    version.cooked_weight_g = 690
    assert analysis_of(version).cooked_g == 690


def test_a_yield_is_added_where_none_is_known(signed_in):
    page = reverse("nutrients:batch-yield-new")
    sent = {
        "retention_group": "fruit", "method": "steamed", "percent": "90", "measured": "on",
        "certainty": "", "source": "", "reason": "3 batches",
    }  # fmt: skip
    assert signed_in.post(page, sent).status_code == 302
    made = BatchYield.objects.get(retention_group="fruit", method="steamed")
    assert made.history.get().history_change_reason == "3 batches"
    again = signed_in.post(page, sent)
    assert again.status_code == 200
    assert again.context["form"].errors


def test_no_yield_is_offered_that_no_batch_would_use(signed_in):
    """With the liquid kept the yield of the pot holds, whatever is in it."""
    offered = signed_in.get(reverse("nutrients:batch-yield-new")).context["form"].fields["method"].choices
    methods = {method for method, _ in offered}
    assert "steamed" in methods
    assert not methods & {"simmered_liquid_kept", "slow_cooked_liquid_kept"}


def test_published_yields_are_found_by_words_and_group(reader):
    rows = reader.get(YIELDS, {"q": "roast chuck"}).context["page"].object_list
    assert rows
    assert all("chuck" in row.food.lower() and "roast" in row.food.lower() for row in rows)
    fish = reader.get(YIELDS, {"group": "fish"}).context["page"].paginator
    assert fish.count == CookingYield.objects.filter(food_group="fish").count()
    assert "No yield is published" in reader.get(YIELDS, {"q": "moonstone"}).content.decode()


@pytest.mark.parametrize("asked", [{"q": "a\x00b"}, {"group": "none"}, {"page": "x"}])
def test_a_search_that_makes_no_sense_is_no_error(reader, asked):
    assert reader.get(YIELDS, asked).status_code == 200


@pytest.mark.parametrize("role", ["viewer", "staff"])
def test_only_a_practitioner_changes_factors(client, role):
    client.force_login(cast.make_user(role))
    for row in (thiamine(), pot()):
        page = client.get(row.get_absolute_url())
        assert page.status_code == 200
        assert 'id="change"' not in page.content.decode()
        assert post(client, row, percent="50").status_code == 403
    assert client.post(reverse("nutrients:batch-yield-new"), {}).status_code == 403
    assert (thiamine().percent, pot().percent) == (30, 93)


def test_tables_ask_the_database_a_few_times_only(reader, django_assert_max_num_queries):
    reader.get(FACTORS)
    with django_assert_max_num_queries(14):
        reader.get(FACTORS)
    with django_assert_max_num_queries(8):
        reader.get(BATCHES)
