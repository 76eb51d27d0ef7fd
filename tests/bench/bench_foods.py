"""How long the list of foods takes with many foods, and a recipe's figures beside them. Judges nothing.

    python -m tests.bench.bench_foods [foods ...]

Without numbers: 8,000 foods with 50 values each and 100,000 with 10 each, which is what such a database would
hold; each in a database of its own in a temporary folder. All names and amounts are made up.
"""

import os
import subprocess
import sys
import tempfile
from random import Random

from tests.bench.bench_analysis import POT, report

SIZES = (8_000, 100_000)
MANY, FEW = 50, 10  # values of a food, up to 10,000 foods and beyond
KINDS = ("Beef", "Chicken", "Beans", "Kale", "Salmon", "Rice", "Squash, winter", "Turkey", "Lentils", "Pork")
PARTS = ("liver", "heart", "shoulder", "leaves", "mature seeds", "fillet", "long-grain", "stem", "ground")
STATES = ("raw", "cooked", "dried", "canned")


def make_foods(number: int) -> None:
    from nutrients.models import Food, FoodValue, Nutrient

    chance = Random(1)
    first = ("water", "protein", "fat", "ash", "fiber", "zinc")  # what the energy and the sort ask for
    others = Nutrient.objects.filter(derived=False).exclude(key__in=first)
    keys = [*Nutrient.objects.filter(key__in=first), *others][: MANY if number <= 10_000 else FEW]
    for start in range(0, number, 2000):
        foods = [
            Food(
                name=f"{kind}, {part}, lot {place}, {STATES[place % 4]}",
                group=kind.lower(),
                state=STATES[place % 4],
                source="made up",
            )
            for place in range(start, min(start + 2000, number))
            for kind, part in [(KINDS[place % len(KINDS)], PARTS[place // 7 % len(PARTS)])]
        ]
        Food.objects.bulk_create(foods)
        FoodValue.objects.bulk_create(
            [
                FoodValue(
                    food=food,
                    nutrient=nutrient,
                    per_100g=round(chance.random() * 20, 3),
                    kind="published",
                    source="made up, beside a source of the usual length in such a table",
                )
                for food in foods
                for nutrient in keys
            ],
            batch_size=5000,
        )


def main(number: int) -> None:
    from django.core.management import call_command
    from django.test import Client
    from django.urls import reverse

    from tests.cast import make_recipe, make_user

    call_command("migrate", verbosity=0)
    call_command("load_reference", verbosity=0)
    make_foods(number)
    version = make_recipe("Bench pot", POT)
    reader = Client(SERVER_NAME="localhost")
    reader.force_login(make_user("practitioner", "bench"))
    print(f"\n{number:,} foods{'':<32} {'median ms':>9} {'worst ms':>9}   runs")

    def page(what: str, url: str, **asked: str) -> None:
        def get() -> None:
            assert reader.get(url, asked, headers={"HX-Request": "true"}).status_code == 200

        get()
        report(what, get, 10)

    foods = reverse("nutrients:food-list")
    page("list", foods)
    page("list, its last page", foods, page="999999")
    page("search by two words", foods, q="liver beef")
    page("search by a word that nothing holds", foods, q="moonstone")
    page("search by a synonym", foods, q="minced pork")
    page("sort by zinc per 100 g", foods, sort="zinc")
    page("sort by zinc per 1000 kcal", foods, sort="zinc", per="1000kcal")
    page("sort what two words find per g protein", foods, q="liver beef", sort="zinc", per="protein")
    page("a food", reverse("nutrients:food-detail", args=[1]))
    page("a recipe of 12 ingredients", version.recipe.get_absolute_url())


if __name__ == "__main__":
    if "BENCH_FOODS" in os.environ:
        import django
        from django.conf import settings

        os.environ["DJANGO_SETTINGS_MODULE"] = "practice.settings"
        django.setup()
        plain = {"staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}}
        settings.STORAGES = settings.STORAGES | plain
        main(int(os.environ["BENCH_FOODS"]))
    else:
        for size in map(int, sys.argv[1:] or SIZES):
            with tempfile.TemporaryDirectory() as folder:
                its_own = {"BOWLWRIGHT_DATA": folder, "BENCH_FOODS": str(size)}
                command = [sys.executable, "-m", "tests.bench.bench_foods"]
                subprocess.run(command, env=os.environ | its_own, check=True)
