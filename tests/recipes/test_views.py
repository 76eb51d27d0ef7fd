"""The library's pages: reading for all, writing for staff, approving for practitioners."""

import pytest
from django.urls import reverse

from recipes.models import Recipe
from recipes.services import fingerprint
from tests import cast
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
        rows = reader.get(LIST, asked).context["rows"]
        assert [row.version for row in rows] == ([version] if found else [])

    def test_an_empty_library_says_what_belongs_here(self, reader):
        assert "The library is empty" in reader.get(LIST).content.decode()

    def test_a_recipe_without_energy_is_listed_all_the_same(self, reader):
        cast.make_recipe("Salt alone", amounts={"Salt, plain": 5})
        assert "Nothing in it yet whose energy could be counted" in reader.get(LIST).content.decode()

    def test_twenty_recipes_ask_the_database_no_more_often(self, reader, django_assert_max_num_queries):
        for number in range(20):
            cast.make_recipe(f"Pot {number}", amounts={TURKEY: 500, RICE: 100 + number})
        with django_assert_max_num_queries(26):
            assert len(reader.get(LIST).context["rows"]) == 20


class TestRecipe:
    def test_it_begins_with_a_sentence(self, reader, version):
        page = reader.get(url("recipe-detail", version.recipe))
        assert page.context["page"].sentence.startswith("Turkey and rice, simmered, liquid kept: about ")

    def test_another_profile_is_judged_against(self, reader, version):
        asked = {"profile": "nrc-adult"}
        response = reader.get(
            url("recipe-detail", version.recipe), asked, headers=HTMX | {"HX-Target": "adequacy"}
        )
        fragment = response.content.decode()
        assert "recipes/_adequacy.html" in names(response)
        assert "<html" not in fragment
        assert "Against NRC adult maintenance" in fragment

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

    @pytest.mark.parametrize("number", ["7", "x", "-1", "9" * 30])
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
        with django_assert_max_num_queries(45):
            reader.get(url("recipe-detail", version.recipe))


class TestForm:
    def test_a_new_recipe_is_saved_as_a_draft(self, writer, staff):
        steps = [{"text": "Simmer.", "minutes": "20", "temperature_c": "74"}]
        response = writer.post(NEW, form_data(line(TURKEY, "500"), line(), steps=steps))
        recipe = Recipe.objects.get(title="Turkey and rice")
        assert response.url == recipe.get_absolute_url()
        assert recipe.state == "draft"
        assert recipe.latest().author == staff
        assert recipe.latest().kitchen_steps.get().temperature_c == 74

    @pytest.mark.parametrize(
        ("lines", "said"),
        [
            ([line()], "at least one ingredient"),
            ([line("turkey delight", "abc")], "in figures"),
            ([line("turkey delight", "12")], "No food is called"),
            ([line("grapes", "12")], "Never in a dog&#x27;s food"),
        ],
    )
    def test_what_is_wrong_is_said_and_nothing_is_lost_or_written(self, writer, lines, said):
        response = writer.post(NEW, form_data(*lines, title="Moonlight pot"))
        page = response.content.decode()
        assert response.status_code == 200
        assert said in page
        assert "Moonlight pot" in page
        assert lines[0]["food"] in page
        assert lines[0]["amount"] in page
        assert not Recipe.objects.exists()

    def test_editing_a_draft_changes_it_in_place(self, writer, version):
        data = form_data(line(TURKEY, "450"), seen=fingerprint(version))
        writer.post(url("recipe-edit", version.recipe), data)
        assert version.recipe.versions.count() == 1
        assert version.ingredients.get().grams == 450

    def test_editing_an_approved_version_makes_the_next_one(self, writer, practitioner):
        approved = cast.make_recipe(amounts={TURKEY: 500}, approved_by=practitioner)
        data = form_data(line(TURKEY, "450"), seen=fingerprint(approved))
        writer.post(url("recipe-edit", approved.recipe), data)
        approved.recipe.refresh_from_db()
        assert approved.ingredients.get().grams == 500
        assert approved.recipe.latest().number == 2
        assert approved.recipe.latest().ingredients.get().grams == 450
        assert approved.recipe.state == "draft"

    def test_what_another_saved_meanwhile_is_not_written_over(self, writer, version):
        data = form_data(line(TURKEY, "450"), seen="somethingelse")
        response = writer.post(url("recipe-edit", version.recipe), data)
        assert "changed this recipe after you opened it" in response.content.decode()
        assert version.ingredients.count() == 2

    def test_the_form_shows_what_is_stored(self, writer, version):
        forms = writer.get(url("recipe-edit", version.recipe)).context["forms"]
        assert [form["food"].value() for form in forms.lines] == [TURKEY, RICE, None]

    @pytest.mark.parametrize(
        ("act", "foods"),
        [
            ("lines-up-1", [RICE, TURKEY]),
            ("lines-remove-0", [RICE]),
            ("lines-add", [TURKEY, RICE, None]),
            ("lines-up-99999999999999999999", [TURKEY, RICE]),
            ("lines-food-99999999999999999999", [TURKEY, RICE]),
            ("nonsense", [TURKEY, RICE]),
        ],
    )
    @pytest.mark.parametrize("headers", [{}, HTMX])
    def test_lines_are_moved_with_and_without_a_script(self, writer, act, foods, headers):
        data = form_data(line(TURKEY, "abc"), line(RICE, "5"), act=act)
        response = writer.post(NEW, data, headers=headers)
        assert ("<html" in response.content.decode()) == (not headers)
        assert [form["food"].value() for form in response.context["forms"].lines] == foods
        assert not Recipe.objects.exists()

    def test_what_was_typed_outlives_a_moved_line(self, writer):
        data = form_data(line(TURKEY, "abc"), line(RICE, "5"), act="lines-up-1", title="Moonlight pot")
        response = writer.post(NEW, data)
        assert "Moonlight pot" in response.content.decode()
        assert response.context["forms"].lines[1]["amount"].value() == "abc"

    def test_a_food_that_was_found_goes_into_a_line(self, writer):
        food = cast.Food.objects.get(name=RICE)
        response = writer.post(
            NEW, form_data(line(TURKEY, "5"), line(), act=f"lines-food-{food.pk}"), headers=HTMX
        )
        assert "recipes/_lines.html" in names(response)
        assert [form["food"].value() for form in response.context["forms"].lines] == [TURKEY, RICE]
        assert "recipe-changed" in response["HX-Trigger-After-Settle"]

    def test_without_a_script_working_out_shows_the_panel_with_the_page(self, writer):
        page = writer.post(NEW, form_data(line(TURKEY, "500"), act="work-out")).content.decode()
        assert "<html" in page
        assert "kcal in 100 g" in page
        assert not Recipe.objects.exists()


class TestPanel:
    def test_it_follows_the_form_without_saving(self, writer):
        response = writer.post(PANEL, form_data(line(TURKEY, "500")), headers=HTMX)
        panel = response.content.decode()
        assert "<html" not in panel
        assert "kcal in 100 g" in panel
        assert "Against AAFCO adult maintenance" in panel
        assert not Recipe.objects.exists()

    def test_a_wrong_line_is_named_and_left_out(self, writer):
        lines = [line(TURKEY, "500"), line("Moonstone", "5"), line(RICE, "abc")]
        panel = writer.post(PANEL, form_data(*lines), headers=HTMX).context["panel"]
        alone = writer.post(PANEL, form_data(lines[0]), headers=HTMX).context["panel"]
        assert [problem.split(":")[0] for problem in panel.problems] == ["Line 2", "Line 3"]
        assert panel.figures == alone.figures

    @pytest.mark.parametrize("data", [{}, {"lines-TOTAL_FORMS": "x"}, {"profile": "0"}])
    def test_a_form_that_makes_no_sense_is_no_error(self, writer, data):
        assert writer.post(PANEL, data, headers=HTMX).status_code == 200

    def test_nothing_typed_yet_is_no_problem(self, writer):
        panel = writer.post(PANEL, form_data(line()), headers=HTMX).context["panel"]
        assert (panel.problems, panel.figures) == ([], None)

    def test_what_holds_no_energy_says_so(self, writer):
        panel = writer.post(PANEL, form_data(line("Salt, plain", "5")), headers=HTMX).context["panel"]
        assert "energy must be above 0" in panel.problems[0]


class TestFoodSearch:
    def test_it_offers_foods_whose_names_hold_the_words(self, writer):
        found = writer.get(SEARCH, {"find": "rice dry"}, headers=HTMX).content.decode()
        assert "<html" not in found
        assert RICE in found
        assert TURKEY not in found

    def test_what_poisons_dogs_is_refused(self, writer):
        assert "Never in a dog&#x27;s food" in writer.get(SEARCH, {"find": "raisins"}).content.decode()

    @pytest.mark.parametrize("words", ["", "   ", "\x00"])
    def test_no_words_find_nothing(self, writer, words):
        assert writer.get(SEARCH, {"find": words}).context["foods"] == []


class TestDecisions:
    def test_a_practitioner_approves(self, lead, version):
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

    @pytest.mark.parametrize("name", ["recipe-review", "recipe-retire", "version-approve"])
    def test_nothing_is_decided_by_looking(self, lead, version, name):
        thing = version if name == "version-approve" else version.recipe
        assert lead.get(url(name, thing)).status_code == 405


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
