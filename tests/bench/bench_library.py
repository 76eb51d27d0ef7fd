"""How long a library of many recipes takes to answer, and to renew its figures. Reports, and judges nothing.

    python -m tests.bench.bench_library [recipes]

Without a number: 5,000 recipes of 6 to 18 ingredients each. Works on a database of its own in a temporary
folder. All recipes are made up.
"""

import os
import sys
import tempfile
from random import Random
from time import perf_counter

from tests.bench.bench_analysis import report

RECIPES = 5_000
TAGS = ("gentle", "low fat", "for puppies", "fish", "weekend", "freezes well", "few dishes", "old favourite")
STATES = ("draft", "in_review", "approved", "approved", "approved", "retired")
BULK = 2000


def make_library(number: int) -> None:
    from django.contrib.auth.models import User

    from nutrients.models import Food, Method
    from nutrients.queries import feeding_profiles
    from recipes.models import Ingredient, Recipe, RecipeVersion

    chance = Random(1)
    author = User.objects.create_user("bench")
    foods = list(Food.objects.filter(supplement=None))
    supplements = list(Food.objects.exclude(supplement=None))
    profiles, methods = list(feeding_profiles()), Method.values
    recipes = Recipe.objects.bulk_create(
        [
            Recipe(
                title=f"Made-up pot {place:05}",
                purpose=chance.choice(("for slow mornings", "for a large kettle", "")),
                tags=", ".join(chance.sample(TAGS, chance.randint(0, 3))),
                profile=chance.choice(profiles),
                state=chance.choice(STATES),
            )
            for place in range(number)
        ],
        BULK,
    )
    versions = RecipeVersion.objects.bulk_create(
        [RecipeVersion(recipe=each, author=author, method=chance.choice(methods)) for each in recipes], BULK
    )
    lines = []
    for version in versions:
        pot = [(food, "in_the_pot", 800) for food in chance.sample(foods, chance.randint(4, 12))]
        doses = [(food, "cooled_batch", 8) for food in chance.sample(supplements, chance.randint(2, 6))]
        for position, (food, when, most) in enumerate(pot + doses):
            grams = round(chance.uniform(most / 40, most), 2)
            lines.append(Ingredient(version=version, food=food, grams=grams, when=when, position=position))
    Ingredient.objects.bulk_create(lines, BULK)


def make_dog():
    from nutrients.models import Food
    from tests import cast

    dog = cast.make_patient()
    cast.make_visit(dog)
    dog.avoids.create(word="chicken", reason="made up")
    dog.avoids.create(food=Food.objects.get(name="Beef liver, raw"))
    return dog


def main(number: int) -> None:
    from django.core.management import call_command
    from django.test import Client
    from django.urls import reverse

    from nutrients.models import FoodValue
    from recipes import renewal
    from recipes.models import Ingredient
    from tests import cast

    call_command("migrate", verbosity=0)
    call_command("load_reference", verbosity=0)
    make_library(number)

    start = perf_counter()
    renewal.renew_all()
    print(f"\n{number:,} recipes: every figure renewed in {perf_counter() - start:.1f} s")
    print(f"\n{'':<46} {'median ms':>9} {'worst ms':>9}   runs")

    reader = Client(headers={"host": "localhost"})
    reader.force_login(cast.make_user("practitioner", "reader"))
    library = reverse("recipes:recipe-list")

    def page(what: str, runs: int = 15, url: str = library, **asked) -> None:
        def get() -> None:
            assert reader.get(url, asked, headers={"HX-Request": "true"}).status_code == 200

        get()
        report(what, get, runs)

    page("everything")
    page("its last page", page=999_999)
    page("by three words", q="pot kettle 1")
    page("with one food, without two", ingredient="turkey", without="rice; liver")
    page("two tags, approved", tags="gentle, fish", state="approved")
    page("fat under 30 g per 1000 kcal", fat_most=30)
    page("energy, fat and phosphorus", kcal_per_100g_most=120, fat_most=30, phosphorus_most=1.5)
    page("meets a profile", meets="aafco-adult")
    page("nothing below or above, least fat first", meets="aafco-adult", meeting="gaps", sort="fat")
    page("what could not be judged", copper_most=5, meets="nrc-adult", show="undecided")
    page("fewest open limits first", sort="open")
    page("fits a dog", dog=make_dog().pk)
    page("left out for a dog, with the reasons", dog=1, show="left-out")
    page(
        "fits a dog, by figures, in a grid", dog=1, fat_most=60, sodium_most=900, view="grid", sort="-protein"
    )
    page("everything as CSV", runs=3, url=reverse("recipes:recipe-csv"))

    value = FoodValue.objects.filter(food__name="Turmeric, ground").first() or FoodValue.objects.first()
    holding = Ingredient.objects.filter(food=value.food).count()
    start = perf_counter()
    value.save()
    renewal.renew_stale()
    print(f"a value of a food in {holding:,} recipes saved and renewed in {perf_counter() - start:.1f} s")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        os.environ["BOWLWRIGHT_DATA"] = folder
        os.environ["DJANGO_SETTINGS_MODULE"] = "practice.settings"
        import django
        from django.conf import settings

        django.setup()
        plain = {"staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}}
        settings.STORAGES = settings.STORAGES | plain
        main(int(sys.argv[1]) if len(sys.argv) > 1 else RECIPES)
        django.db.connections.close_all()
