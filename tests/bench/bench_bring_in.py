"""How long a large file of dogs and weigh-ins takes to be looked at and brought in: reports only.

    python -m tests.bench.bench_bring_in

Makes up a file of 20,000 lines (4,000 dogs of 2,000 owners, five weigh-ins each), in a database of its own in
a temporary folder.
"""

import os
import tempfile
import time
from datetime import date, timedelta

DOGS, DOGS_OF_ONE, WEIGH_INS = 4_000, 2, 5
HEAD = "Owner,E-mail,Dog,Breed,Sex,DOB,Weight (kg),Weighed on,BCS"


def file_of_dogs() -> bytes:
    lines = [HEAD]
    for dog in range(DOGS):
        owner = dog // DOGS_OF_ONE
        for place in range(WEIGH_INS):
            day, kg = date(2024, 1, 1) + timedelta(days=60 * place + dog % 20), 5 + dog % 30 + 0.1 * place
            lines.append(
                f"Owner {owner},o{owner}@example.org,Dog {dog},cross,female,2020-02-01,{kg:.1f},{day},5"
            )
    return "\n".join(lines).encode()


def timed(what: str, done):
    start = time.perf_counter()
    answer = done()
    print(f"{what}: {time.perf_counter() - start:.1f} s")
    return answer


def main() -> None:
    from django.contrib.auth.models import User
    from django.core.management import call_command

    from patients.bring_in import services
    from patients.bring_in.columns import propose

    call_command("migrate", verbosity=0)
    person = User.objects.create_user("robin")
    for turn in ("new", "brought in before"):
        brought = timed(f"{turn}: file taken", lambda: services.begin(person=person, content=file_of_dogs()))
        brought.columns = propose(services.table_of(brought).head, {})
        brought.units = {"weight": "kg"}
        brought.save()
        found = timed(f"{turn}: looked at", lambda brought=brought: services.look(brought))
        print(services.counts_of(found))
        timed(f"{turn}: brought in", lambda brought=brought: services.bring_in(brought=brought, by=person))


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        os.environ |= {"BOWLWRIGHT_DATA": folder, "DJANGO_SETTINGS_MODULE": "practice.settings"}
        import django

        django.setup()
        main()
