"""How long take-home sheets take to be issued and printed: reports only.

    python -m tests.bench.bench_sheets

Issues the sheets of 50 made-up dogs on a recipe of the demo, in a database of its own in a temporary folder.
"""

import os
import resource
import tempfile
import time
from datetime import date
from functools import partial

DOGS = 50


def plans():
    """A draft for each dog, of 15 to 25 kg."""
    from nutrients.models import Profile
    from patients.models import Owner, Patient, Plan, Visit
    from recipes.models import RecipeVersion

    approved = RecipeVersion.objects.filter(approved_at__isnull=False)
    version = approved.get(recipe__title="Turkey, barley and pumpkin")
    profile = Profile.objects.get(key="aafco-adult")
    for number in range(DOGS):
        kg = 15 + number / 5
        owner = Owner.objects.create(name=f"Owner {number}")
        dog = Patient.objects.create(
            owner=owner, name=f"Dog {number}", breed="cross", sex="female", neutered=True,
            born=date(2019, 1, 1),
        )  # fmt: skip
        Visit.objects.create(patient=dog, weight_kg=kg, bcs=5, kind="intake")
        yield Plan.objects.create(
            patient=dog, recipe_version=version, goal="hold", target_kg=kg, method="set by hand",
            kcal_per_day=700 + 10 * number, profile=profile, scale="0.01", vessel_litres=6, batch_days=4,
        )  # fmt: skip


def seconds(done) -> float:
    start = time.perf_counter()
    done()
    return time.perf_counter() - start


def quickest(done) -> float:
    """Of three times: what else the computer does tells least in it."""
    return min(seconds(done) for _ in range(3))


def main() -> None:
    from django.contrib.auth.models import User
    from django.core.management import call_command

    from patients import issue_runs, pdf
    from patients.models import IssueRun, Sheet
    from practice.models import PracticeProfile

    for command in ("migrate", "load_reference", "load_demo"):
        call_command(command, verbosity=0)
    person, practice = User.objects.get(username="robin"), PracticeProfile.objects.first()
    run = IssueRun.objects.create(started_by=person, plans=[plan.pk for plan in plans()])
    print(f"{DOGS} sheets issued: {seconds(lambda: issue_runs.carry_out(run.pk, practice)):.1f} s")
    run.refresh_from_db()
    print(f"of them refused: {run.done - run.issued}", {row["why"] for row in run.outcomes})
    record = Sheet.objects.first().record
    print(f"a full sheet drawn: {quickest(lambda: pdf.render(record)):.2f} s")
    for card in pdf.CARDS:
        print(f"{card}: {quickest(partial(pdf.render_card, record, card)):.2f} s")
    print(f"memory: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000:.0f} MB")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        os.environ |= {"BOWLWRIGHT_DATA": folder, "DJANGO_SETTINGS_MODULE": "practice.settings"}
        import django

        django.setup()
        main()
