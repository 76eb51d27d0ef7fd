"""Loading the reference data: counts, idempotence, refusals, and what a person has changed."""

import csv
import re
import shutil

import pytest
from django.contrib.admin.models import CHANGE, LogEntry
from django.contrib.auth.models import User
from django.contrib.contenttypes.models import ContentType
from django.core.exceptions import ValidationError
from django.core.management import CommandError, call_command

import nutrients.reference
import patients.reference
from nutrients.models import CookingYield, Food, FoodValue, Limit, Nutrient, Supplement
from practice.management.commands import load_reference

pytestmark = pytest.mark.django_db
FIXTURES = load_reference.FIXTURES


@pytest.fixture
def copy(tmp_path, monkeypatch):
    """A folder of tables that a test may spoil, in the place of the real one."""
    for table in FIXTURES.glob("*.csv"):
        shutil.copy(table, tmp_path)
    monkeypatch.setattr(load_reference, "FIXTURES", tmp_path)
    return tmp_path


def spoil(folder, table, pattern, replacement):
    """Change one place of a table and return the line it stands on."""
    text = (folder / table).read_text(encoding="utf-8")
    found = re.search(pattern, text)
    assert found, f"{pattern} is not in {table}"
    (folder / table).write_text(text.replace(found[0], replacement, 1), encoding="utf-8")
    return text[: found.start()].count("\n") + 1


def load():
    call_command("load_reference", verbosity=0)


def counts():
    return [*nutrients.reference.load(FIXTURES), *patients.reference.load(FIXTURES)]


def lines_of(table):
    with (FIXTURES / table).open(newline="", encoding="utf-8") as file:
        return sum(1 for _ in csv.reader(file)) - 1


def test_every_line_of_every_table_becomes_a_row():
    by_rows = {(count.file, count.rows): count for count in counts()}
    for (file, rows), count in by_rows.items():
        if rows != "food values":
            assert sum(count[2:]) == lines_of(file), file
    named = {file for file, _ in by_rows}
    read_beside_others = {
        "corrections.csv",
        "database_dictionary.csv",
        "food_sources.csv",
        "usda_groups.csv",
        "usda_nutrients.csv",
    }
    assert {path.name for path in FIXTURES.glob("*.csv")} - named == read_beside_others
    # The merged USDA table holds 329 foods; table salt is offered as a supplement only.
    assert Food.objects.filter(supplement__isnull=True, source__startswith="USDA").count() == 329 - 1


def test_loading_twice_changes_nothing():
    assert all(count.added == count.changed == count.kept == 0 for count in counts())


def test_the_command_counts_and_a_dry_run_writes_nothing(copy, capsys):
    spoil(copy, "profiles.csv", "adult maintenance,per_1000", "adult upkeep,per_1000")
    call_command("load_reference", dry_run=True)
    printed = capsys.readouterr().out
    assert re.search(r"profiles.csv: profiles +0 +1 +13 +0\n", printed)
    assert "Nothing was written" in printed
    assert not Limit.objects.filter(profile__life_stage="adult upkeep").exists()


def test_a_changed_cell_changes_its_row_only(copy):
    spoil(copy, "limits.csv", r"aafco-adult,protein,g,45\.0", "aafco-adult,protein,g,46")
    load()
    assert Limit.objects.get(profile__key="aafco-adult", nutrient__key="protein").minimum == 46
    assert Limit.objects.get(profile__key="aafco-adult", nutrient__key="fat").minimum == 13.8


@pytest.mark.parametrize(
    ("table", "pattern", "replacement", "said"),
    [
        ("foods.csv", "05062,0,,120,", "05062,0,,12O,", "energy_kcal must be a number"),
        ("foods.csv", "05062,0,,120,", "05062,0,,nan,", "energy_kcal must be a number"),
        ("foods.csv", "05062,0,,120,", "05062,0,,-120,", "per_100g"),
        ("foods.csv", "05062,0,,120,", "05062,0,,120,1,", "cells were expected"),
        ("foods.csv", "Beef heart, simmered", "Beef heart, raw", "already"),
        ("corrections.csv", r"2\.204", "2.205", "does not hold 2.205"),
        ("measures.csv", "Beef heart, raw", "Beef hart, raw", "'Beef hart, raw' stands in no other table"),
        ("retention.csv", "beef,baked,thiamine,55", "beef,baked,thiamine,155", "less than or equal to 100"),
        ("retention.csv", "beef,baked,thiamine", "beef,toasted,thiamine", "not a valid choice"),
        ("limits.csv", "aafco-adult,protein,g,", "aafco-adult,protein,IU,", "IU"),
        ("limits.csv", "aafco-adult,vitamin_d,IU,125,", "aafco-adult,vitamin_d,IU,925,", "lies above"),
        ("limits.csv", "IU,125,750,nutritional", "IU,125,750,", "belong together"),
        ("supplement_labels.csv", "zinc gluconate, anhydrous", "zinc dust", "zinc for 'zinc dust'"),
        ("energy_factors.csv", "x RER,adult,low,no,", "x RER,adult,low,perhaps,", "yes or no"),
    ],
)
def test_a_bad_line_is_named_and_nothing_is_changed(copy, table, pattern, replacement, said):
    spoil(copy, "nutrients.csv", "Copper,", "Cuprum,")
    line = spoil(copy, table, pattern, replacement)
    with pytest.raises(CommandError, match=rf"{table}:{line}: .*{re.escape(said)}"):
        load()
    assert Nutrient.objects.get(key="copper").name == "Copper"


def test_kelp_without_an_assay_is_refused(copy):
    line = spoil(copy, "supplements.csv", r'"Lot 0417[^"]*"', "")
    with pytest.raises(CommandError, match=rf"supplements.csv:{line}: .*assay"):
        load()


def test_kelp_whose_label_does_not_state_iodine_is_refused(copy):
    Supplement.objects.get(food__group="seaweed supplement").label_amounts.all().delete()
    spoil(copy, "supplement_labels.csv", 'ug iodine per g",iodine,', 'ug iodine per g",calcium,')
    with pytest.raises(CommandError, match=r"supplements.csv:\d+: .*assayed iodine"):
        load()


def test_a_seaweed_supplement_needs_its_assay_in_a_form_too():
    kelp = Supplement.objects.get(food__group="seaweed supplement")
    kelp.full_clean()
    kelp.assay = ""
    with pytest.raises(ValidationError, match="assay"):
        kelp.full_clean()
    kelp.food.group = "mineral supplement"
    kelp.full_clean()


def test_a_value_that_a_person_saved_is_left_alone():
    value = FoodValue.objects.get(food__name="Lentils, dry", nutrient__key="magnesium")
    value.per_100g, value.kind, value.source = 107, FoodValue.Kind.LABORATORY, "our own analysis"
    value.save()
    load()
    value.refresh_from_db()
    assert (value.per_100g, value.kind) == (107, "laboratory")


def test_a_value_that_a_person_deleted_stays_deleted():
    FoodValue.objects.get(food__name="Lentils, dry", nutrient__key="selenium").delete()
    load()
    assert not FoodValue.objects.filter(food__name="Lentils, dry", nutrient__key="selenium").exists()


def test_a_food_of_another_source_is_left_alone_with_all_its_values():
    """Bulk updates leave no history: the food's source alone must protect it."""
    food = Food.objects.filter(name="Lentils, dry")
    food.update(source="Millers' analysis", note="ours")
    FoodValue.objects.filter(food__in=food).update(per_100g=7)
    load()
    assert food.get().note == "ours"
    assert set(food.get().values.values_list("per_100g", flat=True)) == {7}


def test_a_row_without_a_history_changed_on_the_administration_pages_is_left_alone():
    yields = CookingYield.objects.filter(food__startswith="Quinoa, uncooked")
    (row,) = yields
    published = row.percent
    yields.update(percent=published + 7)
    load()
    assert yields.get().percent == published
    yields.update(percent=published + 7)
    LogEntry.objects.create(
        user=User.objects.create(username="robin"),
        content_type=ContentType.objects.get_for_model(CookingYield),
        object_id=row.pk,
        object_repr=str(row),
        action_flag=CHANGE,
    )
    load()
    assert yields.get().percent == published + 7
