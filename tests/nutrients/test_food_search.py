"""The search for foods in the database: names, groups, states, synonyms, and what keeps it up to date."""

import pytest

from nutrients import queries
from nutrients.food_words import PLAIN, plain
from nutrients.models import Food, FoodValue, Synonym
from tests.nutrients.foods import make_food

pytestmark = pytest.mark.django_db


def found(words) -> list[str]:
    return [food.name for food in queries.foods_matching(words=words)]


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("courgette", "Zucchini, with skin, raw"),
        ("courgettes", "Zucchini, with skin, raw"),
        ("minced turkey", "Ground turkey, generic, raw"),
        ("mince lamb", "Ground lamb, raw"),
        ("prawns", "Shrimp, raw"),
        ("maize", "Corn grits, white, enriched, dry"),
        ("yoghurt whole", "Yogurt, plain, whole milk"),
        ("ox heart", "Beef heart, raw"),
        ("capsicum", "Bell pepper, red, raw"),
        ("beetroot", "Beets, raw"),
        ("coley", "Pollock, Alaska, raw"),
        ("porridge oats", "Rolled oats, dry"),
        ("rapeseed oil", "Canola oil"),
        ("linseed", "Flaxseed, whole or ground"),
        ("melt", "Beef spleen, raw"),
        ("lights", "Beef lung, raw"),
        ("tinned pilchards", "Sardines, Pacific, canned in tomato sauce, drained, with bone"),
        ("pak choi", "Bok choy, raw"),
        ("wholemeal pasta", "Whole-wheat pasta, dry"),
        ("thiamin", "Thiamine tablet, 10 mg"),
    ],
)
def test_foods_are_found_by_what_else_they_are_called(typed, name):
    assert name in found(typed)


def test_a_synonym_of_the_practices_own_works_as_well():
    make_food("Moon hare, raw")
    assert found("lunar rabbit") == []
    Synonym.objects.create(word="lunar rabbit", called="moon hare", source="invented")
    assert found("lunar rabbit") == ["Moon hare, raw"]


def test_a_synonym_begins_a_word():
    make_food("Boxed cress")
    make_food("Oxtail of the moon")
    assert "Oxtail of the moon" in found("beef")
    assert "Boxed cress" not in found("beef")


def test_groups_and_states_are_found_with_the_name():
    make_food("Hare saddle", group="moon meat", state="cooked")
    make_food("Hare saddle, uncooked", group="moon meat", state="raw")
    assert found("moon cooked hare")[0] == "Hare saddle"
    assert found("saddle moon raw") == ["Hare saddle, uncooked"]


def test_the_usual_accents_do_not_matter():
    make_food("Épinard crème pâté")
    for typed in ("epinard", "Épinard", "CREME", "crème pate", "pâté"):
        assert found(typed) == ["Épinard crème pâté"], typed


def test_the_database_writes_the_search_text_as_the_search_does():
    for letter in PLAIN:
        food = make_food(f"x{letter}x")
        assert food.search_text == plain(f" x{letter}x moon meat raw")


def test_the_search_text_follows_whatever_way_a_food_is_written():
    food = make_food("Moon hare, raw")
    Food.objects.filter(pk=food.pk).update(name="Star carp, raw")
    assert (found("moon hare"), found("star carp")) == ([], ["Star carp, raw"])
    food.name = "Sun oats"
    Food.objects.bulk_update([food], ["name"])
    assert found("sun oats") == ["Sun oats"]
    Food.objects.bulk_create([Food(name="Dew cress", group="moon meat", state="raw", source="invented")])
    assert found("dew") == ["Dew cress"]


def test_a_food_found_inside_a_word_comes_after_those_that_begin_one():
    for name in ("Agrostar", "Zap starter", "Star carp"):
        make_food(name)
    assert found("star moon") == ["Star carp", "Zap starter", "Agrostar"]
    assert found("star")[0] == "Star carp"


def test_signs_of_a_pattern_are_letters_like_others():
    make_food("Moon hare 100%_pure")
    assert found("100%_pure") == ["Moon hare 100%_pure"]
    assert "Moon hare 100%_pure" not in found("1%p")


# ---- the food table of a few foods ----


def test_a_few_foods_are_read_alone_and_say_the_same_as_the_whole_table():
    names = ["Beef liver, raw", "Kale, raw", "Canola oil"]
    few = queries.food_table(foods=names)
    assert set(few.index) == set(names)
    whole = queries.food_table().loc[few.index]
    assert few.equals(whole)


def test_few_foods_without_estimates():
    make_food("Moon hare", zinc=4)
    FoodValue.objects.filter(food__name="Moon hare").update(kind="estimate")
    assert queries.food_table(foods=["Moon hare"]).at["Moon hare", "zinc"] == 4
    assert queries.food_table(estimates=False, foods=["Moon hare"]).isna().all(axis=None)


def test_no_foods_are_an_empty_table_with_every_column():
    assert queries.food_table(foods=[]).empty
    assert {"zinc", "nfe"} <= set(queries.food_table(foods=[]).columns)


def test_only_the_values_of_the_few_foods_are_read(django_assert_num_queries):
    with django_assert_num_queries(3) as asked:  # nutrients, foods, values
        queries.food_table(foods=["Beef liver, raw"])
    assert '"food_id" IN (' in asked[-1]["sql"]
