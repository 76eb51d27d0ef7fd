"""Home-made recipes and cooked starches of a textbook, with the composition it prints.

The book used food tables of the 1990s; ours are USDA SR28 (2015) and SR26 (2013). "Beef, regular, cooked" is
taken as pan-browned crumbles of 80 % lean, "vegetable oil" as soybean oil. The foods go in cooked.
"""

import pytest

from nutrients.models import Food, FoodValue, Nutrient, Profile
from recipes.analysis import Analysis
from recipes.models import Ingredient, Recipe, RecipeVersion
from recipes.queries import analysis_of
from recipes.services import save_version
from tests.outside.examples import examples, expected, rows
from tests.outside.kitchen import cook

pytestmark = pytest.mark.django_db

STARCHES = {
    "chickpeas": "Chickpeas, boiled, no salt",
    "rice": "White rice, long-grain, enriched, cooked",
}


@pytest.fixture
def bread():
    """White bread is no food of ours: it stands in the table of the test, with its source."""
    food = None
    for row in rows("textbook_bread"):
        food = food or Food.objects.create(
            name=row["food"], group="grain & starch", state="cooked", source=row["source"]
        )
        nutrient = Nutrient.objects.get(key=row["nutrient"])
        FoodValue.objects.create(
            food=food,
            nutrient=nutrient,
            per_100g=float(row["per_100g"]),
            kind="published",
            source=row["source"],
        )


def dry_matter(batch: Analysis) -> float:
    return batch.raw_g - batch.composition.totals["water"]


def figure(batch: Analysis, name: str) -> float:
    """A figure as the book prints it: percent of dry matter unless its name says otherwise."""
    totals = batch.composition.totals
    if name.endswith("_g"):
        return in_grams(name.removesuffix("_g"), totals)
    figures = {
        "batch": lambda: batch.cooked_g,
        "dry_matter": lambda: 100 * dry_matter(batch) / batch.cooked_g,
        "kcal": lambda: batch.energy.kcal,
        "kcal_per_100g_dm": lambda: 100 * batch.energy.kcal / dry_matter(batch),
    }
    return figures[name]() if name in figures else 100 * in_grams(name, totals) / dry_matter(batch)


def in_grams(nutrient: str, totals) -> float:
    return totals[nutrient] * {"g": 1, "mg": 0.001}[Nutrient.objects.get(key=nutrient).unit]


@pytest.mark.parametrize("row", examples("textbook_recipe_figures"))
def test_textbook_recipe(row, bread):
    printed = [line for line in rows("textbook_recipes") if line["recipe"] == row["recipe"]]
    batch = cook({line["food"]: float(line["grams"]) for line in printed})
    assert batch.energy.missing == ()
    assert figure(batch, row["figure"]) == expected(row)


def stored(printed: list[dict], by) -> RecipeVersion:
    """The recipe as a person saves it, read again."""
    lines = [
        Ingredient(food=Food.objects.get(name=line["food"]), grams=float(line["grams"])) for line in printed
    ]
    saved = save_version(
        recipe=Recipe(title="From the book", profile=Profile.objects.get(key="aafco-adult")),
        particulars={"method": "baked"},
        ingredients=lines,
        kitchen_steps=[],
        author=by,
    )
    return RecipeVersion.objects.get(pk=saved.pk)


@pytest.mark.parametrize("row", examples("textbook_recipe_figures"))
def test_textbook_recipe_saved_and_read_again(row, bread, staff):
    printed = [line for line in rows("textbook_recipes") if line["recipe"] == row["recipe"]]
    version = stored(printed, staff)
    assert version.ingredients.count() == len(printed)
    assert figure(analysis_of(version), row["figure"]) == expected(row)


@pytest.mark.parametrize("row", examples("textbook_starches"))
def test_cooked_starch_in_dry_matter(row):
    batch = cook({STARCHES[row["food"]]: 100})
    name = {"kcal": "kcal_per_100g_dm"}.get(row["figure"], row["figure"])
    assert figure(batch, name) == expected(row)
