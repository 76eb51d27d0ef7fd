"""How long the pages about a version take: stand-ins, omissions, ways of cooking. Reports, judges nothing.

    python -m tests.bench.bench_versions

Asks for the pages as a browser does, on a database of its own in a temporary folder.
"""

import os
import tempfile

from tests.bench.bench_analysis import report


def main() -> None:
    from django.core.management import call_command
    from django.test import Client
    from django.urls import reverse

    from nutrients.models import Food
    from nutrients.queries import toxic_cautions
    from tests.cast import make_recipe, make_user

    call_command("collectstatic", interactive=False, verbosity=0)
    call_command("migrate", verbosity=0)
    call_command("load_reference", verbosity=0)
    reader = Client(SERVER_NAME="localhost")
    reader.force_login(make_user("practitioner", "bench"))
    names = list(Food.objects.values_list("name", flat=True))
    allowed = [name for name in names if name not in toxic_cautions(names)]
    step = len(allowed) // 25
    version = make_recipe("Twenty-five", dict.fromkeys(allowed[: 25 * step : step], 40))
    first = version.ingredients.filter(food__supplement=None).first()
    print(f"{'':<44} {'median ms':>9} {'worst ms':>9}   runs")
    pages = {
        "stand-ins for one food": ("ingredient-substitutes", [version.pk, first.food_id]),
        "omissions": ("version-omissions", [version.pk]),
        "ways of cooking": ("version-cooking", [version.pk]),
        "the page itself": ("recipe-detail", [version.recipe_id]),
    }
    for what, (name, args) in pages.items():
        url = reverse(f"recipes:{name}", args=args)

        def ask(url=url) -> None:
            assert reader.get(url).status_code == 200

        report(f"25 ingredients: {what}", ask)


if __name__ == "__main__":
    import django

    with tempfile.TemporaryDirectory() as folder:
        os.environ["BOWLWRIGHT_DATA"] = folder
        os.environ["DJANGO_SETTINGS_MODULE"] = "practice.settings"
        django.setup()
        main()
