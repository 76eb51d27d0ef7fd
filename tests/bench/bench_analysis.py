"""How long the figures of a recipe and of a plan take. Reports, and judges nothing.

    python -m tests.bench.bench_analysis

Works on a database of its own in a temporary folder.
"""

import os
import tempfile
from collections.abc import Callable
from statistics import median
from time import perf_counter

POT = {
    "Chicken breast, skinless, raw": 1000,
    "Beef liver, raw": 60,
    "Egg, whole, raw": 100,
    "White rice, long-grain, unenriched, dry": 450,
    "Carrots, raw": 200,
    "Green beans, raw": 200,
    "Corn oil": 30,
    "Calcium carbonate powder": 6,
    "Dicalcium phosphate powder": 6,
    "Salt, iodized": 2,
    "Canine vitamin and mineral powder": 8,
    "Iron chelate tablet, 18 mg iron": 0.3,
}


def report(what: str, work: Callable[[], object], runs: int = 30) -> None:
    """Print the median and the worst of some runs, in milliseconds."""
    taken = []
    for _ in range(runs):
        start = perf_counter()
        work()
        taken.append((perf_counter() - start) * 1000)
    print(f"{what:<44} {median(taken):9.1f} {max(taken):9.1f}   {runs}")


def main() -> None:
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    print(f"{'':<44} {'median ms':>9} {'worst ms':>9}   runs")
    report("reference data, into an empty database", lambda: call_command("load_reference", verbosity=0), 1)
    report("reference data, nothing new", lambda: call_command("load_reference", verbosity=0), 3)
    recipe_and_plan()


def recipe_and_plan() -> None:
    from nutrients import queries
    from nutrients.models import Profile
    from patients.services import work_out
    from recipes.queries import analysis_of
    from tests.cast import make_patient, make_plan, make_recipe, make_user, make_visit

    version = make_recipe("Bench pot", POT, approved_by=make_user("practitioner", "bench"))
    patient = make_patient()
    make_visit(patient)
    plan = make_plan(patient, version)
    adult = Profile.objects.get(key="aafco-adult")

    def cold_table():
        queries._food_table.cache_clear()
        queries.food_table()

    report("food table, read from the database", cold_table, 10)
    report("food table, unchanged", queries.food_table)
    report("limits of a profile", lambda: queries.profile_limits(adult))
    report(f"analysis of a recipe of {len(POT)} ingredients", lambda: analysis_of(version))
    report("plan, worked out", lambda: work_out(plan), 15)


if __name__ == "__main__":
    import django

    with tempfile.TemporaryDirectory() as folder:
        os.environ["BOWLWRIGHT_DATA"] = folder
        os.environ["DJANGO_SETTINGS_MODULE"] = "practice.settings"
        django.setup()
        main()
        django.db.connections.close_all()
