"""The standards' pages: what a profile's page says, on which basis, and profiles side by side."""

import pytest
from django.urls import reverse

from nutrients import profiles
from nutrients.models import Limit, Profile
from nutrients.profile_basis import PER_DM, PER_MBW

pytestmark = pytest.mark.django_db
LIST = reverse("nutrients:profile-list")
COMPARE = reverse("nutrients:profile-compare")


@pytest.fixture
def reader(client, viewer):
    client.force_login(viewer)
    return client


def page_of(client, key, **asked):
    return client.get(reverse("nutrients:profile-detail", args=[key]), asked)


def rows_of(response):
    """(nutrient key, kind of maximum) -> row."""
    rows = [row for _, rows in response.context["groups"] for row in rows]
    return {(row.limit.nutrient.key, row.limit.kind): row for row in rows}


def test_the_foods_lead_to_the_standards_and_to_the_cooking_losses(reader):
    page = reader.get(reverse("nutrients:food-list")).content.decode()
    assert LIST in page
    assert reverse("nutrients:retention-list") in page


def test_the_list_names_every_profile_and_what_it_inherits(reader):
    page = reader.get(LIST).content.decode()
    for profile in Profile.objects.all():
        assert profile.get_absolute_url() in page
    assert "EU legal maxima" in page
    assert "changed</span>" not in page


def test_the_list_counts_changed_limits(reader):
    limit = Limit.objects.get(profile__key="aafco-adult", nutrient__key="zinc")
    limit.minimum = 21
    profiles.change_limit(limit=limit, reason="print")
    assert reader.get(LIST).content.decode().count("1 changed</span>") == 1


def test_a_profile_says_where_its_limits_stand(reader):
    response = page_of(reader, "aafco-growth-large")
    rows = rows_of(response)
    calcium, zinc = rows["calcium", "nutritional"], rows["zinc", ""]
    assert (calcium.minimum, calcium.maximum, calcium.inherited_from) == (3.0, 4.5, "")
    assert (zinc.minimum, zinc.maximum, zinc.inherited_from) == (
        25,
        None,
        "AAFCO growth & reproduction",
    )
    page = response.content.decode()
    assert "Inherited from" in page
    assert "<td>AAFCO growth &amp; reproduction</td>" in page
    assert "AAFCO Official Publication" in page
    assert "nutritional maximum" in page


def test_an_overridden_limit_is_not_shown(reader):
    growth = Limit.objects.get(profile__key="aafco-growth", nutrient__key="calcium")
    shown = {row.limit.pk for row in rows_of(page_of(reader, "aafco-growth-large")).values()}
    assert growth.pk not in shown
    assert growth.pk in {row.limit.pk for row in rows_of(page_of(reader, "aafco-growth")).values()}


def test_on_dry_matter_aafco_growth_wants_22_5_percent_protein(reader):
    """AAFCO 2014: 22.5 % protein, 1.2 % calcium, 100 mg/kg zinc in dry matter of 4000 kcal per kg."""
    response = page_of(reader, "aafco-growth", basis=PER_DM, density="4000")
    rows = rows_of(response)
    assert rows["protein", ""].minimum == pytest.approx(22.5, abs=0.03)  # printed as 56.3 g per 1000 kcal
    assert (rows["protein", ""].unit, rows["zinc", ""].unit) == ("% DM", "mg/kg DM")
    assert rows["calcium", "nutritional"].minimum == pytest.approx(1.2)
    assert rows["zinc", ""].minimum == pytest.approx(100)
    assert rows["ca_p_ratio", "nutritional"].maximum == 2
    assert "at 4000 kcal per kg of dry matter" in response.content.decode()


def test_per_metabolic_weight_a_profile_starts_with_the_energy_it_assumes(reader):
    """FEDIAF's two adult tables cover the same need: 45.0 x 0.110 and 52.1 x 0.095 = 4.95 g protein."""
    for key in ("fediaf-adult-110", "fediaf-adult-95"):
        protein = rows_of(page_of(reader, key, basis=PER_MBW))["protein", ""]
        assert protein.minimum == pytest.approx(4.95, abs=0.01)
    asked = rows_of(page_of(reader, "fediaf-adult-95", basis=PER_MBW, energy="110"))["protein", ""]
    assert asked.minimum == pytest.approx(52.1 * 0.110)


def test_a_table_per_metabolic_weight_is_shown_as_it_is_given(reader):
    response = page_of(reader, "nrc-adult-per-mbw")
    assert rows_of(response)["protein", ""].minimum == 3.28
    assert "Per kg^0.75 a day" in response.content.decode()


@pytest.mark.parametrize(
    "asked",
    [{"density": "0"}, {"density": "-4000"}, {"energy": "1e308"}, {"density": "rich"}, {"basis": "cup"}],
)
def test_an_energy_that_cannot_be_right_is_said_beside_its_field(reader, asked):
    response = page_of(reader, "aafco-adult", **({"basis": PER_DM} | asked))
    assert response.status_code == 200
    assert list(response.context["form"].errors) == list(asked)
    assert rows_of(response)["protein", ""].minimum == 45.0
    assert "Shown as they are given" in response.content.decode()
    (typed,) = asked.values()
    assert typed == "cup" or f'value="{typed}"' in response.content.decode()


def test_a_decimal_comma_is_read(reader):
    rows = rows_of(page_of(reader, "aafco-adult", basis=PER_DM, density="4500,5"))
    assert rows["protein", ""].minimum == pytest.approx(45 * 4.5005 / 10)


def test_two_profiles_side_by_side(reader):
    response = reader.get(COMPARE, {"p": ["aafco-adult", "fediaf-adult-110"], "basis": PER_DM})
    copper = next(row for row in response.context["rows"] if row.name == "Copper")
    first, second = copper.cells
    assert first.maximum.amount is None
    # FEDIAF: legal maximum 2.8 mg per 100 g dry matter
    assert (second.maximum.amount, second.maximum_kind) == (pytest.approx(28), "legal")
    page = response.content.decode()
    assert "no limit" in page
    assert "AAFCO adult maintenance and FEDIAF adult, 110 kcal/kg^0.75, side by side." in page


def test_the_order_is_that_of_the_address(reader):
    heads = reader.get(COMPARE, {"p": ["nrc-adult", "aafco-adult"]}).context["heads"]
    assert [profile.key for profile, _ in heads] == ["nrc-adult", "aafco-adult"]


def test_only_what_differs(reader):
    both = {"p": ["aafco-growth", "aafco-growth-large"]}
    assert len(reader.get(COMPARE, both).context["rows"]) > 30
    rows = reader.get(COMPARE, both | {"differ": "on"}).context["rows"]
    assert [row.name for row in rows] == ["Calcium"]


@pytest.mark.parametrize(
    "keys",
    [
        [],
        ["aafco-adult"],
        ["no-such", "aafco-adult"],
        ["aafco-adult", "aafco-growth", "nrc-adult", "fediaf-adult-95", "fediaf-adult-110"],
    ],
)
def test_one_profile_or_five_cannot_be_compared(reader, keys):
    response = reader.get(COMPARE, {"p": keys})
    assert response.status_code == 200
    assert "rows" not in response.context
    assert response.context["form"].errors["p"]


def test_pages_ask_the_database_a_few_times_only(reader, django_assert_max_num_queries):
    page_of(reader, "fediaf-growth-large")
    with django_assert_max_num_queries(16):
        page_of(reader, "fediaf-growth-large")
    with django_assert_max_num_queries(12):
        reader.get(LIST)


def test_a_profile_that_is_none_is_not_found(reader):
    assert page_of(reader, "no-such").status_code == 404


def test_somebody_without_a_role_sees_no_standard(client, django_user_model):
    client.force_login(django_user_model.objects.create_user("nobody"))
    assert {client.get(LIST).status_code, page_of(client, "aafco-adult").status_code} == {403}


def test_a_viewer_is_offered_no_change(reader):
    page = page_of(reader, "aafco-adult").content.decode()
    assert reverse("nutrients:profile-copy", args=["aafco-adult"]) not in page
    limit = Limit.objects.get(profile__key="aafco-adult", nutrient__key="zinc")
    assert 'method="post" id="change"' not in reader.get(limit.get_absolute_url()).content.decode()


def test_the_comparison_opens_without_a_complaint(signed_in):
    assert "Choose two to four profiles." not in signed_in.get(COMPARE).content.decode()
    assert "Choose two to four profiles." in signed_in.get(COMPARE, {"differ": "on"}).content.decode()
