"""Out and in again: the same nutrient database, byte for byte."""

import csv
import io
from zipfile import ZipFile

import pytest
from django.core.management import call_command

from nutrients.database.export import write_database
from nutrients.database.importing import bring_in
from nutrients.database.tables import BY_HAND, TABLES, dictionary
from nutrients.models import (
    Food,
    FoodValue,
    LabelAmount,
    Limit,
    Measure,
    Nutrient,
    Profile,
    Retention,
    Supplement,
)

pytestmark = pytest.mark.django_db
LIVER = "Beef liver, raw"
AWKWARD = "=SUM(A1)\r\n+\"quoted\", 'apostrophe'\n\ttab; Käse – 5 °C"


def exported(path):
    with path.open("wb") as file:
        write_database(file)
    return path


def rows_of(path, table: str) -> list[dict[str, str]]:
    with ZipFile(path) as archive:
        return list(csv.DictReader(io.StringIO(archive.read(f"{table}.csv").decode(), newline="")))


def without_history(rows):
    rows._raw_delete(rows.db)


def empty_the_database():
    for table in reversed(TABLES):
        without_history(table.model.objects.all())
        if table.has_history:
            without_history(table.model.history.all())


@pytest.fixture
def small():
    """A few foods and factors, so that a test need not carry the whole database."""
    kept = Food.objects.filter(name__in=[LIVER, "Calcium carbonate powder"])
    for related in (FoodValue, Measure, Supplement):
        if related is Supplement:
            without_history(LabelAmount.objects.exclude(supplement__food__in=kept))
        without_history(related.objects.exclude(food__in=kept))
    without_history(Food.objects.exclude(pk__in=kept))
    without_history(Retention.objects.exclude(food_group="beef"))


@pytest.fixture
def practised():
    """What a practice does to its database: foods of its own, changes, and a value taken away."""
    food = Food.objects.create(
        name="'=Own stew",
        group="organ",
        state="cooked",
        source="-",
        note=AWKWARD,
        own=True,
        refuse_percent=0.1,
    )
    calcium = Nutrient.objects.get(key="calcium")
    FoodValue.objects.create(
        food=food, nutrient=calcium, per_100g=0.1 + 0.2, kind="laboratory", source="@lab"
    )
    bound = Nutrient.objects.get(key="protein")
    FoodValue.objects.create(food=food, nutrient=bound, low=5, kind="bound", source="bag")
    Measure.objects.create(food=food, amount=0.25, label="cup", grams=60)
    product = Supplement.objects.create(
        food=food, form="powder", dose_unit="scoop", grams_per_dose_unit=4.2, smallest_step=0.5,
        heat="stable", label_text="+ 5 mg", lot="007", expiry="2027-01-31",
    )  # fmt: skip
    LabelAmount.objects.create(supplement=product, nutrient=calcium, amount=5, unit="mg")
    copper = FoodValue.objects.get(food__name=LIVER, nutrient__key="copper")
    copper.per_100g += 1
    copper.save()
    FoodValue.objects.get(food__name=LIVER, nutrient__key="retinol").delete()
    base = Profile.objects.get(key="aafco-growth")
    Profile.objects.create(
        key="0-own", standard=base.standard, life_stage="own", basis=base.basis, own=True, inherits=base,
        copied_from=Profile.objects.get(key="aafco-adult"), targets_by="Dr. Fen, Quill Street",
    )  # fmt: skip
    limit = Limit.objects.filter(minimum__isnull=False).first()
    limit.minimum *= 1.5
    limit.save()
    return food


def test_export_import_export_is_the_same_to_the_byte(practised, tmp_path):
    first = exported(tmp_path / "first.zip")
    empty_the_database()
    assert Nutrient.objects.count() == 0
    bring_in(first)
    second = exported(tmp_path / "second.zip")
    assert first.read_bytes() == second.read_bytes()
    stew = Food.objects.get(name="'=Own stew")
    assert stew.note == AWKWARD
    assert stew.values.get(nutrient__key="calcium").per_100g == 0.1 + 0.2
    assert str(stew.supplement.expiry) == "2027-01-31"
    own = Profile.objects.get(key="0-own")
    assert (own.inherits.key, own.copied_from.key) == ("aafco-growth", "aafco-adult")
    # What a person did outlasts the program's own tables.
    call_command("load_reference", verbosity=0)
    third = exported(tmp_path / "third.zip")
    assert first.read_bytes() == third.read_bytes()


def test_bringing_it_in_again_changes_nothing(small, practised, tmp_path):
    path = exported(tmp_path / "all.zip")
    counts = bring_in(path)
    assert {count.file for count in counts} == {table.file for table in TABLES}
    for count in counts:
        assert (count.added, count.changed, count.removed, count.only_here) == (0, 0, 0, 0)
        assert count.unchanged > 0
    assert exported(tmp_path / "again.zip").read_bytes() == path.read_bytes()


def test_it_goes_into_a_fresh_installation(practised, tmp_path):
    """With the tables loaded and nothing done by hand yet."""
    path = exported(tmp_path / "all.zip")
    changed = FoodValue.objects.get(food__name=LIVER, nutrient__key="copper").per_100g
    empty_the_database()
    call_command("load_reference", verbosity=0)
    loaded = FoodValue.objects.get(food__name=LIVER, nutrient__key="copper")
    counts = {count.file: count for count in bring_in(path)}
    assert counts["values.csv"].removed == 1
    assert counts["values.csv"].changed == 1
    assert exported(tmp_path / "again.zip").read_bytes() == path.read_bytes()
    history = loaded.history.order_by("history_id").values_list("per_100g", flat=True)
    assert list(history) == [loaded.per_100g, changed]


def test_what_the_file_does_not_name_stays(small, practised, tmp_path):
    path = exported(tmp_path / "all.zip")
    Food.objects.create(name="Only here", group="organ", state="raw", source="own")
    counts = {count.file: count for count in bring_in(path)}
    assert counts["foods.csv"].only_here == 1
    assert Food.objects.filter(name="Only here").exists()


def test_lines_that_a_label_lost_go(small, practised, tmp_path):
    path = exported(tmp_path / "all.zip")
    zinc = Nutrient.objects.get(key="zinc")
    LabelAmount.objects.create(supplement=practised.supplement, nutrient=zinc, amount=1, unit="mg")
    counts = {count.file: count for count in bring_in(path)}
    assert counts["label_amounts.csv"].removed == 1
    assert not practised.supplement.label_amounts.filter(nutrient=zinc).exists()


def test_a_dry_run_counts_and_writes_nothing(small, practised, tmp_path):
    path = exported(tmp_path / "all.zip")
    FoodValue.objects.filter(food=practised, nutrient__key="calcium").update(per_100g=7)
    counts = {count.file: count for count in bring_in(path, dry_run=True)}
    assert counts["values.csv"].changed == 1
    assert practised.values.get(nutrient__key="calcium").per_100g == 7


def test_hand_made_rows_say_so(small, practised, tmp_path):
    path = exported(tmp_path / "all.zip")
    values = {(row["food"], row["nutrient"]): row for row in rows_of(path, "values")}
    assert values["''=Own stew", "calcium"][BY_HAND] == "changed"
    assert values[LIVER, "copper"][BY_HAND] == "changed"
    assert values[LIVER, "retinol"] == {
        "food": LIVER, "nutrient": "retinol", "per_100g": "", "low": "", "high": "", "unit": "", "kind": "",
        "source": "", "by_hand": "removed",
    }  # fmt: skip
    assert values[LIVER, "iron"][BY_HAND] == ""


def test_unknown_is_an_empty_cell_or_no_row(small, practised, tmp_path):
    path = exported(tmp_path / "all.zip")
    bounds = [row for row in rows_of(path, "values") if row["kind"] == "bound"]
    assert [(row["per_100g"], row["low"], row["high"]) for row in bounds] == [("", "5", "")]
    known = {row["nutrient"] for row in rows_of(path, "values") if row["food"] == "''=Own stew"}
    assert known == {"calcium", "protein"}


def test_the_dictionary_names_every_column_of_every_model(tmp_path):
    """What is left out is what the database makes for itself."""
    for table in TABLES:
        kept = {
            field.name for field in table.model._meta.fields if not (field.primary_key or field.generated)
        }
        assert set(table.fields) == kept, table.name
        assert table.has_history == hasattr(table.model, "history"), table.name
    assert {row["table"] for row in dictionary()} == {table.name for table in TABLES}
    assert all(row["meaning"] for row in dictionary())
    path = exported(tmp_path / "all.zip")
    assert rows_of(path, "dictionary") == dictionary()
    with ZipFile(path) as archive:
        for table in TABLES:
            head = archive.read(table.file).decode().splitlines()[0]
            assert head == ",".join(table.columns)
