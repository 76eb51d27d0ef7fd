"""The recipe's form as a page: saving, moving lines, the panel beside it and the search for foods."""

import pytest
from django.urls import reverse

from recipes import services
from recipes.models import Recipe
from recipes.services import fingerprint
from tests import cast
from tests.recipes.form_data import RICE, TURKEY, form_data, line

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}
NEW, PANEL, SEARCH = (reverse(f"recipes:{name}") for name in ("recipe-new", "version-panel", "food-search"))


def edit_url(version):
    return reverse("recipes:recipe-edit", args=[version.recipe.pk])


@pytest.fixture
def writer(client, staff):
    client.force_login(staff)
    return client


@pytest.fixture
def version():
    return cast.make_recipe(amounts={TURKEY: 500, RICE: 200})


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
        writer.post(edit_url(version), data)
        assert version.recipe.versions.count() == 1
        assert version.ingredients.get().grams == 450

    def test_editing_an_approved_version_makes_the_next_one(self, writer, practitioner):
        approved = cast.make_recipe(amounts={TURKEY: 500}, approved_by=practitioner)
        data = form_data(line(TURKEY, "450"), seen=fingerprint(approved))
        writer.post(edit_url(approved), data)
        approved.recipe.refresh_from_db()
        assert approved.ingredients.get().grams == 500
        assert approved.recipe.latest().number == 2
        assert approved.recipe.latest().ingredients.get().grams == 450
        assert approved.recipe.state == "draft"

    def test_what_another_saved_meanwhile_is_not_written_over(self, writer, version):
        data = form_data(line(TURKEY, "450"), seen="somethingelse")
        response = writer.post(edit_url(version), data)
        assert "by somebody else while you were writing" in response.content.decode()
        assert version.ingredients.count() == 2

    def test_the_form_shows_what_is_stored(self, writer, version):
        forms = writer.get(edit_url(version)).context["forms"]
        assert [form["food"].value() for form in forms.lines] == [TURKEY, RICE, None]

    @pytest.mark.parametrize(
        ("act", "foods"),
        [
            ("lines-up-1", [RICE, TURKEY]),
            ("lines-remove-0", [RICE]),
            ("lines-move-1-0", [RICE, TURKEY]),
            ("lines-move-1", [TURKEY, RICE]),
            ("lines-move-1-9", [TURKEY, RICE]),
            ("show", [TURKEY, RICE]),
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

    def test_a_step_undone_or_a_draft_restored_draws_the_whole_form_as_it_was_typed(self, writer, version):
        data = form_data(line(TURKEY, "abc"), title="Moonlight pot", seen="older", act="show")
        response = writer.post(edit_url(version), data, headers=HTMX)
        page = response.content.decode()
        assert 'id="form-body"' in page
        assert "<html" not in page
        assert 'value="Moonlight pot"' in page
        assert 'name="seen" value="older"' in page
        assert "Somebody saved this recipe after you opened it" in page
        assert "recipe-changed" in response["HX-Trigger-After-Settle"]
        assert version.ingredients.count() == 2

    def test_a_saved_recipe_says_so_to_the_script_that_keeps_drafts(self, writer):
        page = writer.post(NEW, form_data(line(TURKEY, "500")), follow=True).content.decode()
        assert "recipe-saved" in page
        page = writer.post(NEW, form_data(line(TURKEY, "")), follow=True).content.decode()
        assert "recipe-saved" not in page

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
        assert "recipes/_lines.html" in {template.name for template in response.templates}
        assert [form["food"].value() for form in response.context["forms"].lines] == [TURKEY, RICE]
        assert "recipe-changed" in response["HX-Trigger-After-Settle"]

    def test_without_a_script_the_panel_is_of_the_lines_as_they_stand_after_a_press(self, writer):
        lines = [line(TURKEY, "500"), line(RICE, "200")]
        removed = writer.post(NEW, form_data(*lines, act="lines-remove-1")).context["panel"]
        alone = writer.post(NEW, form_data(lines[0], act="work-out")).context["panel"]
        added = writer.post(NEW, form_data(lines[0], act="lines-add")).context["panel"]
        assert removed.line == alone.line == added.line
        assert removed.problems == added.problems == []

    def test_without_a_script_working_out_shows_the_panel_with_the_page(self, writer):
        page = writer.post(NEW, form_data(line(TURKEY, "500"), act="work-out")).content.decode()
        assert "<html" in page
        assert "kcal in 100 g" in page
        assert not Recipe.objects.exists()


class TestWhatCannotBe:
    @pytest.mark.parametrize(
        ("amount", "unit", "said"),
        [
            ("-5", "g", "weighs more than 0"),
            ("0", "g", "weighs more than 0"),
            ("1e9", "g", "in figures"),
            ("nan", "g", "in figures"),
            ("100001", "g", "cannot be right"),
            ("500", "lb", "cannot be right"),  # 226.8 kg
            ("0.0001", "g", "cannot be right"),
        ],
    )
    def test_absurd_amounts_are_refused_and_kept(self, writer, amount, unit, said):
        page = writer.post(NEW, form_data(line(TURKEY, amount, unit))).content.decode()
        assert said in page
        assert f'value="{amount}"' in page
        assert not Recipe.objects.exists()

    def test_two_hundred_ingredients_are_refused_with_all_that_was_typed(self, writer):
        lines = [line(f"food {number}", f"{number}.5", note=f"note {number}") for number in range(1, 201)]
        response = writer.post(NEW, form_data(*lines))
        assert "at most 60 lines" in response.content.decode()
        kept = response.context["forms"].lines
        assert [form["amount"].value() for form in kept] == [f"{number}.5" for number in range(1, 201)]
        assert not Recipe.objects.exists()

    def test_a_food_deleted_meanwhile_is_named_and_the_rest_is_kept(self, writer, version):
        gone = cast.Food.objects.create(name="Moonlit broth", group="soup", state="raw", source="invented")
        data = form_data(line(gone.name, "50"), line(TURKEY, "450"), seen=fingerprint(version))
        gone.delete()
        page = writer.post(edit_url(version), data).content.decode()
        assert "No food is called “Moonlit broth”" in page
        assert 'value="450"' in page
        assert version.ingredients.count() == 2

    def test_a_food_deleted_between_check_and_save_is_an_error_of_the_form(
        self, writer, version, monkeypatch
    ):
        gone = cast.Food.objects.create(name="Moonlit broth", group="soup", state="raw", source="invented")
        data = form_data(line(TURKEY, "450"), line(gone.name, "50"), seen=fingerprint(version))
        save_version = services.save_version

        def delete_first(**asked):
            gone.delete()
            return save_version(**asked)

        monkeypatch.setattr(services, "save_version", delete_first)
        response = writer.post(edit_url(version), data)
        assert response.status_code == 200
        assert "Moonlit broth" in response.content.decode()
        assert version.ingredients.count() == 2

    def test_html_in_a_title_is_shown_as_text_on_every_page(self, writer):
        bad = "<script>alert(1)</script>"
        lines = [line(TURKEY, "500", note=bad)]
        saved = writer.post(NEW, form_data(*lines, title=bad, purpose=bad, vessel=bad, note=bad), follow=True)
        recipe = Recipe.objects.get(title=bad)
        edit = reverse("recipes:recipe-edit", args=[recipe.pk])
        for page in (saved, writer.get(edit), writer.get(reverse("recipes:recipe-list"))):
            assert bad not in page.content.decode()
            assert "&lt;script&gt;alert(1)" in page.content.decode()

    def test_the_vessel_is_saved_and_shown_again(self, writer, version):
        data = form_data(line(TURKEY, "450"), seen=fingerprint(version), vessel="6-litre slow cooker")
        writer.post(edit_url(version), data)
        assert version.recipe.latest().vessel == "6-litre slow cooker"
        assert 'value="6-litre slow cooker"' in writer.get(edit_url(version)).content.decode()


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
        assert panel.found.figures == alone.found.figures

    @pytest.mark.parametrize("act", ["lines-up-", "lines-food-", "steps-move-0-"])
    def test_a_place_out_of_all_bounds_changes_nothing(self, writer, act):
        lines = [line(TURKEY, "500"), line(RICE, "100")]
        answer = writer.post(NEW, form_data(*lines) | {"act": act + "9" * 5000})
        shown = answer.context["forms"].lines
        assert [typed["food"].value() for typed in shown.forms][:2] == [TURKEY, RICE]

    @pytest.mark.parametrize("data", [{}, {"lines-TOTAL_FORMS": "x"}, {"profile": "0"}])
    def test_a_form_that_makes_no_sense_is_no_error(self, writer, data):
        assert writer.post(PANEL, data, headers=HTMX).status_code == 200

    def test_nothing_typed_yet_is_no_problem(self, writer):
        panel = writer.post(PANEL, form_data(line()), headers=HTMX).context["panel"]
        assert (panel.problems, panel.found) == ([], None)

    def test_what_holds_no_energy_says_so(self, writer):
        panel = writer.post(PANEL, form_data(line("Salt, plain", "5")), headers=HTMX).context["panel"]
        assert "energy must be above 0" in panel.problems[0]


class TestUnits:
    def test_a_line_offers_the_measures_of_its_own_food(self, writer):
        url = reverse("recipes:line-unit", args=[1])
        field = {"lines-1-food": "Pearled barley, cooked", "lines-1-unit": "cup"}
        answer = writer.post(url, field, headers=HTMX).content.decode()
        assert "<html" not in answer
        assert '<option value="cup" selected>cup</option>' in answer
        assert 'name="lines-1-unit"' in answer

    def test_a_unit_of_the_food_before_stays_in_sight(self, writer):
        field = {"lines-0-food": TURKEY, "lines-0-unit": "cup"}
        answer = writer.post(reverse("recipes:line-unit", args=[0]), field, headers=HTMX).content.decode()
        assert '<option value="cup" selected>cup: not known of it</option>' in answer

    def test_a_line_far_beyond_the_form_is_not_there(self, writer):
        assert writer.post(reverse("recipes:line-unit", args=[10**9])).status_code == 404

    def test_the_panel_says_what_each_line_weighs(self, writer):
        lines = [line(TURKEY, "500"), line("Pearled barley, cooked", "1,5", "cup"), line(RICE, "x", "cup")]
        answer = writer.post(PANEL, form_data(*lines), headers=HTMX).content.decode()
        # 1 cup of cooked pearled barley: 157 g (USDA SR Legacy, NDB 20006)
        assert 'id="line-weight-1" hx-swap-oob="true">= 235.5 g<' in answer
        assert 'id="line-weight-0" hx-swap-oob="true"><' in answer
        assert 'id="line-weight-2" hx-swap-oob="true"><' in answer

    def test_without_a_script_the_page_offers_them_after_any_press(self, writer):
        page = writer.post(
            NEW, form_data(line("Pearled barley, cooked", "2"), act="work-out")
        ).content.decode()
        assert '<option value="cup">cup</option>' in page


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
