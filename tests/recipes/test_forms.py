"""The recipe's form: what it takes, what it refuses and the words it refuses with."""

import pytest

from nutrients.models import Food, Supplement
from recipes import forms
from recipes.models import Recipe, When
from tests import cast
from tests.recipes.form_data import CALCIUM, RICE, TURKEY, VITAMIN_E, form_data, line

pytestmark = pytest.mark.django_db


def sent(*lines, **fields):
    return forms.sent(form_data(*lines, **fields), Recipe())


def only_error(form_set, field):
    """The one error of a form set, which stands at `field`."""
    errors = [errors for errors in form_set.errors if errors]
    assert len(errors) == 1
    assert list(errors[0]) == [field]
    return " ".join(errors[0][field])


def test_a_plain_recipe_is_taken():
    form = sent(line(TURKEY, "500"), line(RICE, "200"), line())
    assert form.is_valid()
    assert [(i.food.name, i.grams, i.when) for i in form.lines.ingredients()] == [
        (TURKEY, 500, When.IN_THE_POT),
        (RICE, 200, When.IN_THE_POT),
    ]


def test_names_are_found_in_small_and_capital_letters():
    assert sent(line(f"  {TURKEY.upper()} ", "500")).lines.ingredients()[0].food.name == TURKEY


def test_ounces_become_grams():
    # 1 avoirdupois ounce = 28.349523125 g
    assert sent(line(TURKEY, "10", "oz")).lines.ingredients()[0].grams == pytest.approx(283.49523, rel=1e-6)


def test_doses_of_a_supplement_become_grams():
    weight = Supplement.objects.get(food__name=VITAMIN_E).grams_per_dose_unit
    form = sent(line(TURKEY, "500"), line(VITAMIN_E, "2", "doses", "in_the_bowl"))
    assert form.lines.ingredients()[1].grams == pytest.approx(2 * weight)


def test_a_household_measure_is_that_of_the_very_food():
    barley, egg = "Pearled barley, cooked", "Egg, whole, raw"
    form = sent(line(barley, "1.5", "cup"), line(egg, "2", "large"))
    # USDA SR Legacy: 1 cup of cooked pearled barley 157 g (NDB 20006), 1 large egg 50 g (NDB 01123)
    assert [line.grams for line in form.lines.ingredients()] == [pytest.approx(235.5), 100]


@pytest.mark.parametrize(("unit", "said"), [("large", "No “large” is known"), ("", "Of what?")])
def test_a_measure_of_another_food_is_refused(unit, said):
    assert said in only_error(sent(line(TURKEY, "2", unit)).lines, "unit")


def test_a_decimal_comma_is_read():
    assert sent(line(TURKEY, "12,5")).lines.ingredients()[0].grams == 12.5


def test_a_recipe_without_an_ingredient_is_refused():
    form = sent(line(), line())
    assert not form.is_valid()
    assert "at least one ingredient" in form.lines.non_form_errors()[0]


@pytest.mark.parametrize(
    ("amount", "said"),
    [
        ("0", "more than 0"),
        ("-5", "more than 0"),
        ("abc", "in figures"),
        ("nan", "in figures"),
        ("1e9", "in figures"),
        ("", "How much?"),
        ("100001", "100 kg"),
        ("0.0001", "0.001 g"),
        ("1,200", "two ways"),
    ],
)
def test_an_amount_that_cannot_be_is_refused_beside_its_field(amount, said):
    form = sent(line(TURKEY, "500"), line(RICE, amount))
    assert not form.is_valid()
    assert said in only_error(form.lines, "amount")


def test_a_food_that_is_not_known_is_refused():
    form = sent(line("Moonstone stew", "100"))
    assert "No food is called “Moonstone stew”" in only_error(form.lines, "food")


def test_the_same_food_at_the_same_moment_is_refused():
    form = sent(line(TURKEY, "500"), line(TURKEY, "100"))
    assert "already" in only_error(form.lines, "food")


def test_the_same_food_at_another_moment_is_taken():
    assert sent(line(RICE, "500"), line(RICE, "100", when="late")).is_valid()


@pytest.mark.parametrize("name", ["grapes", "Onion, raw", "XYLITOL", "Raisins", "dark chocolate"])
def test_what_poisons_dogs_is_refused_with_why_and_the_source(name):
    said = only_error(sent(line(name, "10")).lines, "food")
    assert said.startswith("Never in a dog's food:")
    assert "Why:" in said
    assert "Source:" in said


def test_a_food_in_the_table_is_refused_when_its_name_is_forbidden():
    Food.objects.create(name="Bread with raisins", group="grain & starch", state="as sold", source="invented")
    assert "Never in a dog's food" in only_error(sent(line("bread with raisins", "10")).lines, "food")


@pytest.mark.parametrize("when", ["in_the_pot", "late"])
def test_a_heat_sensitive_supplement_is_not_cooked(when):
    said = only_error(sent(line(VITAMIN_E, "2", "doses", when)).lines, "when")
    assert "heat-sensitive" in said
    assert "cooled batch or in the bowl" in said


def test_a_heat_stable_supplement_may_be_cooked():
    assert sent(line(TURKEY, "500"), line(CALCIUM, "5")).is_valid()


def test_a_food_has_no_doses():
    assert "Only supplements" in only_error(sent(line(TURKEY, "2", "doses")).lines, "unit")


def test_more_than_sixty_lines_are_refused():
    form = sent(*[line(TURKEY, "5")] * 61)
    assert not form.is_valid()
    assert "at most 60 lines" in form.lines.non_form_errors()[0]
    assert form.lines.ingredients() == []


@pytest.mark.parametrize("cooked", ["12000", "50"])
def test_a_cooked_weight_that_this_batch_cannot_have_is_refused(cooked):
    form = sent(line(TURKEY, "500"), line(RICE, "200"), added_water_g="300", cooked_weight_g=cooked)
    assert not form.is_valid()
    assert "1,000 g go in" in form.version.errors["cooked_weight_g"][0]


def test_a_step_needs_words():
    form = forms.sent(form_data(line(TURKEY, "5"), steps=[{"text": "", "minutes": "5"}]), Recipe())
    assert "Say what to do" in only_error(form.steps, "text")


def test_a_title_is_taken_once():
    cast.make_recipe("Turkey and rice")
    form = sent(line(TURKEY, "500"))
    assert not form.is_valid()
    assert "title of its own" in form.recipe.errors["title"][0]


def test_profiles_that_nobody_feeds_by_are_not_offered():
    keys = set(forms.RecipeForm().fields["profile"].queryset.values_list("key", flat=True))
    assert {"aafco-adult", "aafco-growth-large", "fediaf-growth-large", "nrc-adult"} <= keys
    assert not {"fediaf-legal", "nrc-adult-per-mbw"} & keys


def test_a_stored_recipe_comes_back_as_it_was_typed():
    data = form_data(
        line(TURKEY, "500", note="broken up"),
        line(VITAMIN_E, "2", "doses", "in_the_bowl"),
        line(CALCIUM, "2.5", when="cooled_batch", step_g="1"),
    )
    typed = [forms.typed_ingredient(each) for each in forms.sent(data, Recipe()).lines.ingredients()]
    assert typed == [
        line(TURKEY, "500", note="broken up"),
        line(VITAMIN_E, "2", "doses", "in_the_bowl"),
        line(CALCIUM, "2.5", when="cooled_batch", step_g="1"),
    ]


def test_twenty_lines_ask_the_database_no_more_often_than_two(django_assert_max_num_queries):
    foods = Food.objects.filter(group="muscle meat", state="raw").values_list("name", flat=True)[:20]
    data = form_data(*[line(name, "50") for name in foods])
    with django_assert_max_num_queries(6):
        assert forms.sent(data, Recipe()).lines.is_valid()
