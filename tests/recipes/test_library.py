"""The library's page and its search form."""

import pytest
from django.http import QueryDict
from django.urls import reverse

from nutrients.models import FoodValue
from recipes.models import Recipe, VersionAnswers
from recipes.search import Band
from recipes.search_forms import RecipeSearchForm
from tests import cast

pytestmark = pytest.mark.django_db
LIST = reverse("recipes:recipe-list")
TURKEY, RICE, OIL = "Ground turkey, 93% lean, raw", "White rice, long-grain, unenriched, dry", "Corn oil"


def form(query):
    return RecipeSearchForm(QueryDict(query))


def titles(response):
    return [row.recipe.title for row in response.context["library"].rows]


@pytest.fixture
def library(db):
    """By fat per 1000 kcal: rice, turkey, oil. Of the barley the fat is not known."""
    for title, foods in (
        ("Plain rice", {RICE: 300}),
        ("Turkey", {TURKEY: 300}),
        ("Oily", {TURKEY: 100, OIL: 50}),
    ):
        cast.make_recipe(title, foods)
    Recipe.objects.filter(title="Turkey").update(tags="gentle, for puppies")


@pytest.fixture
def found(signed_in, library):
    return lambda **asked: signed_in.get(LIST, asked)


class TestForm:
    def test_figures_are_asked_in_their_unit_and_kept_in_the_nutrients(self):
        assert form("fat_most=30&phosphorus_most=1.5&kcal_per_100g_least=80").search().bands == (
            Band("kcal_per_100g", least=80, most=None), Band("fat", None, 30), Band("phosphorus", None, 1500),
        )  # fmt: skip

    def test_foods_are_parted_by_semicolons_as_names_hold_commas(self):
        search = form("ingredient=carrots, raw; beef ;;-&without=chicken").search()
        assert (search.holding, search.without) == (("carrots, raw", "beef"), ("chicken",))

    def test_a_profile_with_or_without_gaps(self):
        assert form("meets=nrc-adult").search().met.with_gaps is False
        assert form("meets=nrc-adult&meeting=gaps").search().met.with_gaps is True
        assert form("meeting=gaps").search().met is None

    @pytest.mark.parametrize(
        ("query", "said"),
        [
            ("fat_most=lean", "Fat, g per 1000 kcal, at most: Enter a number in figures, such as 18.4."),
            ("fat_most=-3", "Fat, g per 1000 kcal, at most: Enter 0 or more."),
            ("fat_least=50&fat_most=30", "at least: No amount is at least 50 and at most 30."),
            ("meets=moon", "There is no “moon” under “Meets a profile”"),
            ("dog=99999", "There is no “99999” under “Fits this dog”"),
            ("sort=colour", "There is no “colour” under “Sorted by”"),
        ],
    )
    def test_what_is_not_understood_is_said_and_left_out(self, query, said):
        asked = form(query)
        search = asked.search()
        assert (search.bands, search.met, search.dog, search.order) == ((), None, None, "title")
        (problem,) = asked.not_understood()
        assert said in problem


class TestPage:
    def test_by_a_figure(self, found):
        # 100 g of this turkey have some 19 g protein and 8 g fat: 55 g fat per 1000 kcal
        assert titles(found(fat_most="30")) == ["Plain rice"]
        assert titles(found(fat_least="30", fat_most="70")) == ["Turkey"]

    def test_in_the_order_of_a_figure_which_every_row_then_says(self, found):
        response = found(sort="-fat")
        assert titles(response) == ["Oily", "Turkey", "Plain rice"]
        assert "g per 1000 kcal" in response.content.decode()

    def test_what_could_not_be_judged_is_counted_and_can_be_looked_at(self, found):
        FoodValue.objects.get(food__name=RICE, nutrient__key="copper").delete()
        response = found(copper_most="100")
        assert titles(response) == ["Oily", "Turkey"]
        assert "1 recipe could not be judged on this: data missing." in response.content.decode()
        shown = found(copper_most="100", show="undecided")
        assert titles(shown) == ["Plain rice"]
        assert '<span class="unknown">unknown</span>' in shown.content.decode()

    def test_nothing_is_said_of_missing_data_when_there_is_none(self, found):
        assert "could not be judged" not in found(fat_most="30").content.decode()

    def test_tags_lead_to_their_recipes(self, found):
        assert (
            "?tags=for+puppies" in found().content.decode()
            or "?tags=for%20puppies" in found().content.decode()
        )
        assert titles(found(tags="for puppies")) == ["Turkey"]

    def test_as_a_grid(self, found):
        names = {template.name for template in found(view="grid").templates}
        assert "recipes/_recipe_grid.html" in names
        assert "recipes/_recipe_table.html" not in names

    def test_against_the_profile_that_is_asked_for(self, found):
        found()
        VersionAnswers.objects.filter(profile__key="nrc-adult").update(below=0, above=0, cannot_confirm=0)
        profiles = {row.profile.key for row in found(meets="nrc-adult").context["library"].rows}
        assert profiles == {"nrc-adult"}

    def test_a_list_that_is_none_is_what_was_found(self, found):
        assert len(titles(found(show="moonlit"))) == 3

    def test_what_does_not_fit_a_dog_is_shown_with_the_reason(self, found):
        dog = cast.make_patient()
        cast.make_visit(dog)
        dog.avoids.create(word="turkey", reason="itches")
        response = found(dog=str(dog.pk))
        assert titles(response) == ["Plain rice"]
        assert "2 recipes left out" in response.content.decode()
        left_out = found(dog=str(dog.pk), show="left-out")
        assert titles(left_out) == ["Oily", "Turkey"]
        assert "itches" in left_out.content.decode()

    def test_the_csv_holds_what_the_search_finds(self, found, client):
        text = client.get(reverse("recipes:recipe-csv"), {"fat_most": "30"}).content.decode()
        assert "Plain rice" in text
        assert "Turkey" not in text
