"""How long the list of dogs, its search, a dog's page and Today take in a large practice: reports only.

    python -m tests.bench.bench_patients

Makes up 20,000 dogs of 12,000 owners with ten visits each, in a database of its own in a temporary folder.
"""

import os
import tempfile
from datetime import timedelta

from tests.bench.bench_analysis import report

DOGS, OWNERS, VISITS = 20_000, 12_000, 10
SYLLABLES = ("ba", "ro", "mi", "ten", "lu", "so", "ker", "ha", "del", "vin", "jo", "pa")


def name_of(number: int) -> str:
    """A made-up name, another for each number."""
    parts = [SYLLABLES[number // 12**place % 12] for place in range(4)]
    return "".join(parts).capitalize()


def fill() -> None:
    from django.utils import timezone

    from patients.models import Condition, Owner, Patient, Visit

    today = timezone.localdate()
    owners = Owner.objects.bulk_create(
        [Owner(name=f"{name_of(n)} {name_of(n * 7)}", phone=f"0{n:07}") for n in range(OWNERS)]
    )
    dogs = Patient.objects.bulk_create(
        [
            Patient(
                owner=owners[n % OWNERS], name=name_of(n * 5), breed=f"{name_of(n % 90)} cross",
                sex="female", born=today - timedelta(days=300 + n % 4000),
                next_recheck=today + timedelta(days=n % 400 - 20),
            )
            for n in range(DOGS)
        ]
    )  # fmt: skip
    Condition.objects.bulk_create([Condition(patient=dog, name="arthritis") for dog in dogs[::5]])
    for place in range(VISITS):
        day = today - timedelta(days=28 * (place + 1))
        Visit.objects.bulk_create(
            [
                Visit(patient=dog, date=day, weight_kg=15 + (dog.pk + place) % 10, bcs=6, kind="recheck")
                for dog in dogs
            ],
            batch_size=5_000,
        )


def main() -> None:
    from django.core.management import call_command
    from django.test import Client
    from django.urls import reverse

    from patients.models import Patient
    from tests.cast import make_user

    call_command("collectstatic", interactive=False, verbosity=0)
    call_command("migrate", verbosity=0)
    call_command("load_reference", verbosity=0)
    fill()
    reader = Client(SERVER_NAME="localhost")
    reader.force_login(make_user("practitioner", "bench"))
    dogs = reverse("patients:patient-list")
    middle = Patient.objects.all()[DOGS // 2]
    print(f"{'':<44} {'median ms':>9} {'worst ms':>9}   runs")
    pages = {
        "list": dogs,
        "list, last page": f"{dogs}?page=400",
        "search by two words": f"{dogs}?q=baro+cross",
        "search by a phone number": f"{dogs}?q=0004",
        "overdue re-checks by owner": f"{dogs}?waits=recheck&order=owner",
        "without a plan": f"{dogs}?waits=plan",
        "a dog's page": middle.get_absolute_url(),
        "who changed what": reverse("patients:activity", args=[middle.pk]),
        "the search of the top bar": f"{reverse('practice:search')}?q=baro",
        "Today": reverse("practice:today"),
    }
    for what, url in pages.items():

        def ask(url=url) -> None:
            assert reader.get(url).status_code == 200

        report(what, ask)


if __name__ == "__main__":
    import django

    with tempfile.TemporaryDirectory() as folder:
        os.environ["BOWLWRIGHT_DATA"] = folder
        os.environ["DJANGO_SETTINGS_MODULE"] = "practice.settings"
        django.setup()
        main()
