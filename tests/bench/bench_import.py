"""How long a download of the size of SR Legacy takes to come in, and how much memory. Judges nothing.

    python -m tests.bench.bench_import [branded foods]

Makes files of the published layout in a temporary folder, where the database is too: 7,793 foods with some 85
values each, which is SR Legacy; on demand, branded foods with 14 values each around them, of which the
whole FoodData Central has some 2,000,000. All names and amounts are made up.
"""

import csv
import os
import resource
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from random import Random
from time import perf_counter

FOODS = 7793
VALUES = 85
BRANDED_VALUES = 14
OTHER_NUTRIENTS = 80  # defined and published, and not kept here
UNITS = {"g": "G", "mg": "MG", "ug": "UG", "kcal": "KCAL", "IU": "IU"}
NAMES = ("Veal, shoulder, cut {}, raw", "Lupins, kind {}, mature seeds, raw", "Okra, kind {}, cooked, boiled")
CATEGORIES = (
    (17, "1700", "Lamb, Veal, and Game Products"),
    (16, "1600", "Legumes and Legume Products"),
    (11, "1100", "Vegetables and Vegetable Products"),
)


def write(path: Path, header: str, rows: Iterator[tuple]) -> None:
    with path.open("w", newline="", encoding="utf-8") as file:
        out = csv.writer(file, quoting=csv.QUOTE_ALL, lineterminator="\n")
        out.writerow(header.split())
        out.writerows(rows)


def make_download(folder: Path, foods: int, branded: int) -> None:
    from nutrients.food_import import tables

    chance = Random(1)
    kept = [(column.number, UNITS[column.unit]) for column in tables().columns]
    nutrients = [(1000 + place, *each) for place, each in enumerate(kept)]
    nutrients += [(2000 + place, str(800 + place), "G") for place in range(OTHER_NUTRIENTS)]
    ids = [nutrient for nutrient, _, _ in nutrients]
    of_food = [*ids[: len(kept) - 10], *ids[-VALUES:]][:VALUES]

    def lines():
        for key in range(foods):
            yield key, "sr_legacy_food", NAMES[key % 3].format(key), CATEGORIES[key % 3][0], "2019-04-01"
        for key in range(branded):
            yield 10**6 + key, "branded_food", "MADE UP", "", "2026-01-01"

    def values():
        for key in range(foods):
            for nutrient in of_food:
                yield key * 100 + nutrient, key, nutrient, round(chance.random() * 20, 3), "", "46"
        for key in range(branded):
            for nutrient in ids[:BRANDED_VALUES]:
                yield key * 100 + nutrient, 10**6 + key, nutrient, 1.5, "", "70"

    write(folder / "food.csv", "fdc_id data_type description food_category_id publication_date", lines())
    write(folder / "food_nutrient.csv", "id fdc_id nutrient_id amount data_points derivation_id", values())
    write(
        folder / "nutrient.csv",
        "id name unit_name nutrient_nbr rank",
        ((key, f"n{number}", unit, number, "") for key, number, unit in nutrients),
    )
    write(folder / "food_category.csv", "id code description", iter(CATEGORIES))
    portions = ((key, key, 1, 1, 9999, "", "cup", 140) for key in range(foods))
    header = "id fdc_id seq_num amount measure_unit_id portion_description modifier gram_weight"
    write(folder / "food_portion.csv", header, portions)
    write(folder / "measure_unit.csv", "id name", iter([(9999, "undetermined")]))
    ndb = ((key, 60000 + key) for key in range(foods))
    write(folder / "sr_legacy_food.csv", "fdc_id NDB_number", ndb)


def main(folder: Path, branded: int) -> None:
    from django.core.management import call_command

    from nutrients import food_import
    from nutrients.models import FoodValue

    call_command("migrate", verbosity=0)
    call_command("load_reference", verbosity=0)
    download = folder / "download"
    download.mkdir()
    make_download(download, FOODS, branded)
    values = FoodValue.objects.count()

    def run(what: str, **options) -> None:
        start = perf_counter()
        report = food_import.import_foods(download, **options)
        seconds = perf_counter() - start
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(f"{what:<28} {seconds:6.1f} s   {peak:6.0f} MB at most so far   {report.rows:,} rows read")

    run("dry run", dry_run=True)
    run("into a database without it")
    print(f"{'':<28} {FoodValue.objects.count() - values:,} values stored")
    run("again, nothing new")


if __name__ == "__main__":
    import django

    with tempfile.TemporaryDirectory() as temporary:
        os.environ["BOWLWRIGHT_DATA"] = temporary
        os.environ["DJANGO_SETTINGS_MODULE"] = "practice.settings"
        django.setup()
        main(Path(temporary), int(sys.argv[1]) if len(sys.argv) > 1 else 0)
        django.db.connections.close_all()
