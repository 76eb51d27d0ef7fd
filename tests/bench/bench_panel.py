"""How long the panel beside a recipe's form takes to answer a change. Reports, and judges nothing.

    python -m tests.bench.bench_panel [--profile]

Posts the whole form as a browser does, on a database of its own in a temporary folder. With --profile it
prints where the time of the 25 ingredients goes.
"""

import cProfile
import os
import pstats
import sys
import tempfile
from functools import partial

from tests.bench.bench_analysis import POT, report

SIZES = (5, 25, 60)


def form_of(size: int) -> dict[str, str]:
    """A recipe of so many different foods, with its supplements."""
    from nutrients.models import Food
    from nutrients.queries import toxic_cautions
    from tests.recipes.form_data import form_data, line

    names = list(Food.objects.filter(supplement=None).values_list("name", flat=True))
    forbidden = toxic_cautions(names)
    more = [name for name in names if name not in POT and name not in forbidden]
    amounts = POT | dict.fromkeys(more[:: len(more) // 60], 40)
    supplements = {name for name in POT if "powder" in name or "tablet" in name or "Salt" in name}
    lines = [
        line(name, str(grams), when="cooled_batch" if name in supplements else "in_the_pot")
        for name, grams in list(amounts.items())[:size]
    ]
    return form_data(*lines, steps=[{"text": "Simmer.", "minutes": "20", "temperature_c": ""}])


def main(profiled: bool) -> None:
    from django.core.management import call_command
    from django.test import Client
    from django.urls import reverse

    from tests.cast import make_user

    call_command("migrate", verbosity=0)
    call_command("load_reference", verbosity=0)
    writer = Client(SERVER_NAME="localhost")
    writer.force_login(make_user("practitioner", "bench"))
    print(f"{'':<44} {'median ms':>9} {'worst ms':>9}   runs")
    for size in SIZES:
        data = form_of(size)

        def post(name="version-panel", data=data) -> str:
            answer = writer.post(reverse(f"recipes:{name}"), data, headers={"HX-Request": "true"})
            return answer.content.decode()

        assert "kcal in 100 g" in (first := post()), first
        assert "Not counted" not in first, first
        report(f"panel of {size} ingredients", post)
        report(
            f"moving one of {size} ingredients", partial(post, "recipe-new", data | {"act": "lines-move-3-0"})
        )
        if profiled and size == 25:
            with cProfile.Profile() as profile:
                for _ in range(10):
                    post()
            pstats.Stats(profile).sort_stats("cumulative").print_stats(70)


if __name__ == "__main__":
    import django

    with tempfile.TemporaryDirectory() as folder:
        os.environ["BOWLWRIGHT_DATA"] = folder
        os.environ["DJANGO_SETTINGS_MODULE"] = "practice.settings"
        django.setup()
        main("--profile" in sys.argv)
