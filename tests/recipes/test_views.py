"""The library's pages: reading for all, writing for staff, approving for practitioners."""

import pytest
from django.urls import reverse

from recipes.services import fingerprint
from tests import cast
from tests.recipes.deciding import make_ready
from tests.recipes.form_data import RICE, TURKEY, form_data, line

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}
LIST, NEW = reverse("recipes:recipe-list"), reverse("recipes:recipe-new")
PANEL, SEARCH = reverse("recipes:version-panel"), reverse("recipes:food-search")


def url(name, thing):
    return reverse(f"recipes:{name}", args=[thing.pk])


def names(response):
    return {template.name for template in response.templates}


@pytest.fixture
def reader(client, viewer):
    client.force_login(viewer)
    return client


@pytest.fixture
def writer(client, staff):
    client.force_login(staff)
    return client


@pytest.fixture
def lead(signed_in):
    return signed_in


@pytest.fixture
def version():
    return cast.make_recipe(amounts={TURKEY: 500, RICE: 200})


class TestLibrary:
    def test_each_recipe_says_its_energy_and_how_it_stands(self, reader, version):
        page = reader.get(LIST).content.decode()
        assert "<html" in page
        assert "Turkey and rice" in page
        assert "meets" in page
        assert "AAFCO adult maintenance" in page

    def test_the_same_address_gives_the_rows_alone_to_htmx(self, reader, version):
        response = reader.get(LIST, {"q": "turkey"}, headers=HTMX)
        assert "recipes/_recipe_rows.html" in names(response)
        assert "<html" not in response.content.decode()

    @pytest.mark.parametrize(
        ("asked", "found"),
        [
            ({"q": "turkey"}, True),
            ({"q": "venison"}, False),
            ({"ingredient": "rice long-grain"}, True),
            ({"ingredient": "barley"}, False),
            ({"state": "draft"}, True),
            ({"state": "approved"}, False),
            ({"life_stage": "adult maintenance"}, True),
            ({"life_stage": "early growth"}, False),
            ({"q": "a\x00"}, True),
        ],
    )
    def test_it_searches(self, reader, version, asked, found):
        rows = reader.get(LIST, asked).context["library"].rows
        assert [row.version for row in rows] == ([version] if found else [])

    def test_an_empty_library_says_what_belongs_here(self, reader):
        assert "The library is empty" in reader.get(LIST).content.decode()

    def test_a_recipe_without_energy_is_listed_all_the_same(self, reader):
        cast.make_recipe("Salt alone", amounts={"Salt, plain": 5})
        assert "Nothing in it yet whose energy could be counted" in reader.get(LIST).content.decode()

    def test_twenty_recipes_ask_the_database_no_more_often(self, reader, django_assert_max_num_queries):
        for number in range(20):
            cast.make_recipe(f"Pot {number}", amounts={TURKEY: 500, RICE: 100 + number})
        reader.get(LIST)  # works out the figures that are kept from then on
        with django_assert_max_num_queries(26):
            assert len(reader.get(LIST).context["library"].rows) == 20


class TestRecipe:
    def test_it_begins_with_a_sentence(self, reader, version):
        page = reader.get(url("recipe-detail", version.recipe))
        assert page.context["page"].sentence.startswith("Turkey and rice, simmered, liquid kept: about ")

    def test_another_profile_is_judged_against(self, reader, version):
        response = reader.get(url("recipe-detail", version.recipe), {"profile": "nrc-adult"})
        assert "Against NRC adult maintenance" in response.content.decode()

    def test_only_what_is_open_is_shown(self, reader, version):
        page = reader.get(url("recipe-detail", version.recipe), {"open": "1"}).context["page"]
        rows = [row for _, rows in page.worked_out.groups for row in rows]
        assert rows
        assert all(row.open for row in rows)

    def test_what_each_ingredient_brings(self, reader, version):
        asked = {"nutrient": "protein"}
        response = reader.get(
            url("recipe-detail", version.recipe), asked, headers=HTMX | {"HX-Target": "brings"}
        )
        assert "<html" not in response.content.decode()
        brought = response.context["page"].worked_out.brought
        assert [row.food for row in brought] == [TURKEY, RICE]
        assert sum(row.percent for row in brought) == pytest.approx(100)

    def test_an_older_version_is_shown_by_its_number(self, lead, practitioner):
        first = cast.make_recipe(amounts={TURKEY: 500}, approved_by=practitioner)
        second = first.recipe.versions.create(number=2, author=practitioner)
        page = url("recipe-detail", first.recipe)
        assert lead.get(page).context["page"].version == second
        assert lead.get(page, {"version": "1"}).context["page"].version == first

    @pytest.mark.parametrize("number", ["7", "x", "-1", "9" * 30, "9" * 5000])
    def test_a_version_that_is_none_is_not_found(self, reader, version, number):
        assert reader.get(url("recipe-detail", version.recipe), {"version": number}).status_code == 404

    def test_a_recipe_without_energy_says_that_nothing_can_be_worked_out(self, reader):
        version = cast.make_recipe("Salt alone", amounts={"Salt, plain": 5})
        assert (
            "Nothing can be worked out" in reader.get(url("recipe-detail", version.recipe)).content.decode()
        )

    def test_a_title_is_text_and_no_markup(self, reader):
        version = cast.make_recipe("<script>alert(1)</script>")
        page = reader.get(url("recipe-detail", version.recipe)).content.decode()
        assert "<script>alert(1)" not in page
        assert "&lt;script&gt;alert(1)" in page

    def test_it_asks_the_database_a_few_times_only(self, reader, version, django_assert_max_num_queries):
        with django_assert_max_num_queries(50):
            reader.get(url("recipe-detail", version.recipe))


class TestDecisions:
    def test_a_practitioner_approves(self, lead, version, practitioner):
        make_ready(version, practitioner)
        lead.post(url("version-approve", version), {"seen": fingerprint(version)})
        version.refresh_from_db()
        assert version.approved

    def test_what_stands_in_the_way_is_said(self, lead, version):
        version.ingredients.all().delete()
        response = lead.post(url("version-approve", version), {"seen": fingerprint(version)}, follow=True)
        assert "There is no ingredient in it yet." in response.content.decode()
        version.refresh_from_db()
        assert not version.approved

    def test_staff_send_to_review(self, writer, version):
        writer.post(url("recipe-review", version.recipe))
        version.recipe.refresh_from_db()
        assert version.recipe.state == "in_review"

    def test_a_practitioner_retires(self, lead, version):
        lead.post(url("recipe-retire", version.recipe))
        version.recipe.refresh_from_db()
        assert version.recipe.state == "retired"


class TestRoles:
    @pytest.mark.parametrize("name", ["recipe-edit", "recipe-review", "recipe-retire"])
    def test_a_viewer_changes_nothing(self, reader, version, name):
        assert reader.post(url(name, version.recipe), form_data(line(TURKEY, "1"))).status_code == 403
        assert version.ingredients.count() == 2

    def test_a_viewer_writes_no_recipe(self, reader):
        assert reader.get(NEW).status_code == 403
        assert reader.post(PANEL, {}).status_code == 403
        assert reader.get(SEARCH).status_code == 403

    def test_a_viewer_is_offered_nothing_to_do(self, reader, version):
        page = reader.get(url("recipe-detail", version.recipe)).content.decode()
        assert "Edit" not in page
        assert "Approve version" not in page
        assert "Retire" not in page

    @pytest.mark.parametrize("name", ["version-approve", "recipe-retire"])
    def test_staff_do_not_approve_or_retire(self, writer, version, name):
        thing = version if name == "version-approve" else version.recipe
        assert writer.post(url(name, thing), {"seen": fingerprint(version)}).status_code == 403
        version.refresh_from_db()
        assert not version.approved

    def test_somebody_without_a_role_reads_nothing(self, client, django_user_model, version):
        client.force_login(django_user_model.objects.create_user("nobody"))
        assert client.get(LIST).status_code == 403
        assert client.get(url("recipe-detail", version.recipe)).status_code == 403

    def test_nobody_reads_without_signing_in(self, client, version):
        assert client.get(LIST).status_code == 302
        assert client.get(PANEL, headers=HTMX)["HX-Redirect"].startswith(reverse("practice:sign-in"))
