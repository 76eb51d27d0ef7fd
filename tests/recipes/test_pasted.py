"""A pasted list of ingredients, read line by line and matched to names of foods."""

import pytest

from nutrients.food_words import plain, terms
from recipes.pasted import PastedLine, food_words, ranked, read, read_line
from recipes.pasted_amounts import measured
from recipes.weighing import Scale


def parts(text):
    line = read_line(text)
    return line.amount, line.unit, line.words


def test_a_list_is_parted_by_new_lines_and_by_strokes_between_blanks():
    text = "200 g turkey thigh, skinless / 1 cup cooked barley\r\n\n2 large eggs\n½ tsp salt/pepper"
    assert [line.text for line in read(text)] == [
        "200 g turkey thigh, skinless",
        "1 cup cooked barley",
        "2 large eggs",
        "½ tsp salt/pepper",
    ]


@pytest.mark.parametrize(
    ("text", "understood"),
    [
        ("200 g turkey thigh, skinless", ("200", "g", "turkey thigh, skinless")),
        ("200g turkey", ("200", "g", "turkey")),
        ("1,5 kg carrots", ("1,5", "kg", "carrots")),
        ("½ cup rice", ("0.5", "cup", "rice")),
        ("1½ cups of rice", ("1.5", "cup", "rice")),
        ("1 1/2 lbs. beef", ("1.5", "lb", "beef")),
        ("3/4 oz liver", ("0.75", "oz", "liver")),
        ("2 Tablespoons oil", ("2", "tbsp", "oil")),
        ("5 ml fish oil", ("5", "ml", "fish oil")),
        ("2 large eggs", ("2", "", "large eggs")),
        ("- 2 teaspoons oil", ("2", "tsp", "oil")),
        ("3) 20 g kale", ("20", "g", "kale")),
        ("barley, cooked: 235.5 g", ("235.5", "g", "barley, cooked")),
        ("1 cup 2% milk", ("1", "cup", "2% milk")),
        ("½ tablet zinc", ("0.5", "tablet", "zinc")),
        ("100 grapes", ("100", "", "grapes")),  # no grams of "rapes"
    ],
)
def test_amount_unit_and_food_are_told_apart(text, understood):
    assert parts(text) == understood


@pytest.mark.parametrize(
    "text",
    [
        "2-3 eggs",
        "2 to 3 eggs",
        "2 x 100 g tuna",
        "1 lb 4 oz beef",
        "1 200 g rice",
        "-5 g rice",
        "salt to taste",
    ],
)
def test_an_unclear_amount_is_no_amount_and_nothing_of_it_is_lost(text):
    line = read_line(text)
    assert (line.amount, line.unit, line.words, line.text) == ("", "", text, text)
    assert line.unclear


@pytest.mark.parametrize(("text", "said"), [("1,200 g rice", "two ways"), ("1/0 cup rice", "no amount")])
def test_an_amount_that_cannot_be_told_is_kept_as_typed(text, said):
    assert said in read_line(text).unclear
    assert measured(read_line(text), Scale("Rice")).grams is None


def test_what_stands_in_brackets_becomes_a_note():
    assert read_line("1 can (drained) tuna") == PastedLine(
        "1 can (drained) tuna", "1", "", "can tuna", "drained"
    )


def test_a_food_is_looked_for_without_what_is_left_of_an_unclear_amount():
    assert food_words(read_line("1 lb 4 oz beef, 85% lean")) == "beef, 85% lean"


FOODS = [
    "Egg, whole, raw; egg raw",
    "Egg yolk, raw; egg raw",
    "Egg, whole, hard-boiled; egg cooked",
    "Eggplant, raw; vegetable raw",
    "Turkey dark meat, skinless, raw; poultry raw",
    "Chicken thigh, skinless, raw; poultry raw",
    "Pearled barley, dry; grain dried",
    "Pearled barley, cooked; grain cooked",
    "Salt, plain; salt as sold",
    "Salt, iodized; salt as sold",
]


def found(words):
    foods = [(entry.split("; ")[0], f" {plain(entry.replace('; ', ' '))}") for entry in FOODS]
    return ranked(terms(words, []), foods)


@pytest.mark.parametrize(
    ("words", "first"),
    [
        ("eggs", "Egg, whole, raw"),
        ("hard-boiled egg", "Egg, whole, hard-boiled"),
        ("yolk of egg", "Egg yolk, raw"),
        ("cooked barley", "Pearled barley, cooked"),
        ("barley", "Pearled barley, dry"),
        ("skinless turkey thigh", "Turkey dark meat, skinless, raw"),
    ],
)
def test_the_nearest_food_stands_first(words, first):
    assert found(words)[0].food == first


def test_foods_that_answer_alike_have_one_rank():
    plain_salt, iodized = found("salt")
    assert plain_salt.rank == iodized.rank


def test_words_that_a_food_does_not_answer_to_are_named():
    assert found("skinless turkey thigh")[0].missed == ("thigh",)


def test_a_food_with_less_than_half_of_the_words_is_not_offered():
    assert found("moonstone cheese raw") == []


# USDA SR Legacy: barley NDB 20006, egg NDB 01123, salmon oil NDB 04593, raw carrots NDB 11124
BARLEY = Scale("Pearled barley, cooked", {"cup": 157})
EGG = Scale("Egg, whole, raw", {"large": 50, "medium": 44, "cup (4.86 large eggs)": 243})
OIL = Scale("Salmon oil", {"tbsp": 13.6})
CARROTS = Scale("Carrots, raw", {"cup chopped": 128, "cup grated": 110})
LIQUID = Scale("Fish oil liquid", {}, "ml", 0.92)
CAPSULE = Scale("Vitamin E capsule", {}, "capsule", 0.3)


@pytest.mark.parametrize(
    ("text", "scale", "amount", "unit", "grams"),
    [
        ("1.5 cups cooked barley", BARLEY, "1.5", "cup", 235.5),
        ("2 large eggs", EGG, "2", "large", 100),
        ("2 lb barley", BARLEY, "2", "lb", 907.18474),
        ("1 cup carrots, grated", CARROTS, "1", "cup grated", 110),
        ("2 vitamin E capsules", CAPSULE, "2", "doses", 0.6),
        ("2 capsules vitamin E", CAPSULE, "2", "doses", 0.6),
        ("3 tsp salmon oil", OIL, "13.6", "g", 13.6),  # 3 tsp = 1 tbsp
        ("1 tsp fish oil", LIQUID, "4.6", "g", 4.6),  # 5 ml of 0.92 g, 21 CFR 101.9(b)(5)(viii)
    ],
)
def test_an_amount_becomes_one_of_that_very_food(text, scale, amount, unit, grams):
    found = measured(read_line(text), scale)
    assert (found.amount, found.unit) == (amount, unit)
    assert found.grams == pytest.approx(grams, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "scale", "unit", "said"),
    [
        ("2 eggs", EGG, "", "Of what?"),
        ("1 cup eggshell", CAPSULE, "cup", "No “cup” is known"),
        ("3 drops vitamin E", CAPSULE, "drop", "No “drop” is known"),  # and never three capsules
    ],
)
def test_a_unit_that_a_food_lacks_stays_as_typed_and_is_said(text, scale, unit, said):
    found = measured(read_line(text), scale)
    assert (found.unit, found.grams, found.sure) == (unit, None, False)
    assert said in found.said


def test_a_measure_that_was_guessed_is_said():
    found = measured(read_line("1 cup carrots"), CARROTS)
    assert (found.unit, found.sure) == ("cup chopped", False)
    assert "cup grated" in found.said
