"""Bringing the small downloads into the food table: counts, idempotence, and what is left alone."""

import csv

import pytest
from django.core.management import CommandError, call_command

from nutrients.food_import import groups, import_foods
from nutrients.food_import.standing import (
    CURATED,
    DELETED,
    KEPT,
    NAME_TAKEN,
    OTHER_RELEASE,
    shortened,
)
from nutrients.models import Food, FoodValue, Measure, Retention
from nutrients.queries import food_table
from nutrients.usda import BadFile
from tests.nutrients.usda_files import CSV, FIXTURES, SR, packed, spoiled

pytestmark = pytest.mark.django_db

BEEF = "Beef, round, test cut, raw"
CHICKPEAS = "Chickpeas, test kind, mature seeds, raw"
IMPORTED = {
    BEEF,
    f"{BEEF} (NDB 90001, Foundation Foods)",
    CHICKPEAS,
    "Kale, test kind, raw",
    "Yogurt, test kind, plain",
}


def everything():
    """All foods, values and measures, as rows."""
    return [list(model.objects.order_by("pk").values()) for model in (Food, FoodValue, Measure)]


def imported():
    return Food.objects.filter(source__startswith="USDA FoodData Central")


def value(food, nutrient):
    return FoodValue.objects.get(food__name=food, nutrient__key=nutrient)


def test_foods_come_in_with_values_measures_and_source():
    report = import_foods(CSV)
    assert set(imported().values_list("name", flat=True)) == IMPORTED
    beef = Food.objects.get(name=BEEF)
    assert (beef.source, beef.source_ref) == ("USDA FoodData Central, SR Legacy", "90001")
    assert (beef.group, beef.retention_group, beef.state) == ("muscle meat", "beef", "raw")
    assert (beef.refuse_percent, beef.own) == (None, False)
    linoleic = value(BEEF, "linoleic_acid")
    assert (linoleic.per_100g, linoleic.kind) == (0.21, "published")
    assert linoleic.source == "USDA FoodData Central, SR Legacy, nutrient 675"
    assert value("Yogurt, test kind, plain", "vitamin_d").source.endswith("nutrient 328, ug x 40")
    assert [str(measure) for measure in beef.measures.all()] == ["3 oz = 85 g"]
    # Values: 9001 10, 9002 7, 9003 6, 9005 3, 9010 2, counted in food_nutrient.csv.
    assert (report.added, report.changed, report.unchanged) == (5, 0, 0)
    assert (report.values_added, report.measures_added) == (28, 3)


def test_what_comes_in_passes_the_models_own_checks():
    import_foods(CSV)
    import_foods(SR)
    for model in (Food, FoodValue, Measure):
        for row in model.objects.order_by("-pk")[:40]:
            row.full_clean()


def test_the_foods_can_be_reckoned_with():
    import_foods(CSV)
    beef = food_table().loc[BEEF]
    assert beef["copper"] == 0.07
    assert beef[["iodine", "zinc"]].isna().all()


def test_a_second_time_nothing_changes():
    import_foods(CSV)
    before = everything()
    report = import_foods(CSV)
    assert (report.added, report.changed, report.unchanged) == (0, 0, 5)
    assert report.values_added == report.values_changed == report.values_removed == 0
    assert report.measures_added == report.measures_changed == 0
    assert everything() == before


def test_a_zip_brings_in_the_same(tmp_path):
    assert import_foods(packed(tmp_path, CSV)).added == 5
    assert import_foods(CSV).unchanged == 5


def test_a_dry_run_counts_and_writes_nothing():
    before = everything()
    report = import_foods(CSV, dry_run=True)
    assert (report.added, report.values_added, report.measures_added) == (5, 28, 3)
    assert everything() == before


def test_only_the_chosen_groups_come_in():
    report = import_foods(CSV, only=["legume"])
    assert list(imported().values_list("name", flat=True)) == [CHICKPEAS]
    assert report.left_out.counts["not in a chosen group"] == 7


def test_a_later_download_changes_what_differs(tmp_path):
    import_foods(CSV)
    untouched = value(BEEF, "copper").pk
    later = spoiled(tmp_path, CSV, "food_nutrient.csv", '"9001","1003","21.4"', '"9001","1003","21.9"')
    values = (later / "food_nutrient.csv").read_text().replace('"9001","1087","5"', '"9001","1087",""')
    (later / "food_nutrient.csv").write_text(values)
    portions = (later / "food_portion.csv").read_text().replace('"oz","85"', '"oz","84"')
    (later / "food_portion.csv").write_text(portions)
    report = import_foods(later)
    assert (report.added, report.changed, report.unchanged) == (0, 1, 4)
    assert (report.values_changed, report.values_removed, report.measures_changed) == (1, 1, 1)
    assert value(BEEF, "protein").per_100g == 21.9
    assert not FoodValue.objects.filter(food__name=BEEF, nutrient__key="calcium").exists()
    assert Measure.objects.get(food__name=BEEF).grams == 84
    assert value(BEEF, "copper").pk == untouched


def test_what_an_import_does_is_no_change_by_hand(tmp_path):
    """The history tells who changed a food by hand: an import, removals too, leaves none."""
    import_foods(CSV)
    emptied = spoiled(tmp_path, CSV, "food_nutrient.csv", '"9001","1087","5"', '"9001","1087",""')
    assert import_foods(emptied).values_removed == 1
    assert import_foods(CSV).changed == 1
    assert not Food.history.filter(source__startswith="USDA FoodData").exists()
    assert not FoodValue.history.filter(source__startswith="USDA FoodData").exists()


def test_a_new_description_renames_the_food(tmp_path):
    import_foods(CSV)
    kale = Food.objects.get(name="Kale, test kind, raw")
    later = spoiled(tmp_path, CSV, "food.csv", "Kale, test kind, raw", "Kale, trial kind, raw")
    assert import_foods(later).changed == 1
    kale.refresh_from_db()
    assert kale.name == "Kale, trial kind, raw"


def test_the_rules_name_groups_that_the_program_knows():
    with (FIXTURES / "usda_groups.csv").open(newline="", encoding="utf-8") as file:
        rules = list(csv.DictReader(file))
    assert {rule["retention_group"] for rule in rules} - {""} <= set(
        Retention.objects.values_list("food_group", flat=True)
    )
    assert {rule["group"] for rule in rules} - {""} <= set(Food.objects.values_list("group", flat=True))
    assert {rule["raw_is"] for rule in rules} - {""} <= set(Food.State.values)


# What is left alone


def test_a_curated_food_is_left_alone():
    cheddar = Food.objects.get(source_ref="01009")
    before = list(cheddar.values.values())
    report = import_foods(CSV)
    assert report.left_out.examples[CURATED] == ["Cheese, cheddar, test"]
    assert list(cheddar.values.values()) == before
    assert Food.objects.filter(source_ref="01009").count() == 1


def save_value():
    protein = value(BEEF, "protein")
    protein.per_100g = 20.0
    protein.save()


def save_food():
    beef = Food.objects.get(name=BEEF)
    beef.note = "from our butcher"
    beef.save()


def delete_value():
    value(BEEF, "copper").delete()


def write_value_in_bulk():
    """Bulk updates leave no history: the value's source tells."""
    FoodValue.objects.filter(food__name=BEEF, nutrient__key="copper").update(per_100g=0.1, source="our assay")


@pytest.mark.parametrize("touch", [save_value, save_food, delete_value, write_value_in_bulk])
def test_a_food_that_the_practice_changed_is_left_alone(tmp_path, touch):
    import_foods(CSV)
    touch()
    before = everything()
    later = spoiled(tmp_path, CSV, "food_nutrient.csv", '"9001","1003","21.4"', '"9001","1003","21.9"')
    report = import_foods(later)
    assert report.left_out.examples[KEPT] == [BEEF]
    assert (report.changed, report.unchanged) == (0, 4)
    assert everything() == before


def test_a_food_that_the_practice_deleted_is_not_brought_back():
    import_foods(CSV)
    Food.objects.get(name=CHICKPEAS).delete()
    report = import_foods(CSV)
    assert report.left_out.examples[DELETED] == [CHICKPEAS]
    assert not Food.objects.filter(name=CHICKPEAS).exists()


def test_a_food_that_the_practice_made_its_own_is_not_brought_in_again():
    import_foods(CSV)
    Food.objects.filter(name=BEEF).update(source="our butcher's analysis", name="Beef of ours")
    report = import_foods(CSV)
    assert sorted(report.left_out.examples[CURATED]) == [BEEF, "Cheese, cheddar, test"]
    assert not Food.objects.filter(name=BEEF).exists()


def test_another_release_of_the_same_table_does_not_double_its_foods():
    import_foods(CSV)
    report = import_foods(SR)
    assert report.left_out.examples[OTHER_RELEASE] == [BEEF]
    assert report.added == 2
    assert Food.objects.get(name="Açaí, test kind, raw").refuse_percent == 20


def test_measures_of_the_practice_stay():
    import_foods(CSV)
    own = Measure.objects.create(food=Food.objects.get(name=BEEF), amount=1, label="scoop", grams=60)
    assert import_foods(CSV).unchanged == 5
    assert Measure.objects.filter(pk=own.pk).exists()


def test_a_name_that_is_taken_twice_over_leaves_the_food_out():
    for name in (BEEF, f"{BEEF} (NDB 90001, SR Legacy)"):
        Food.objects.create(name=name, group="muscle meat", state="raw", source="the practice", own=True)
    report = import_foods(CSV)
    assert report.left_out.examples[NAME_TAKEN] == [BEEF]
    assert report.added == 4


def test_names_fit_into_their_field():
    long = "Beef, " + "very " * 60 + "raw"
    assert shortened(long, "") == long[:200].rstrip()
    assert shortened(long, " (NDB 90001)").endswith("ve (NDB 90001)")
    assert len(shortened(long, " (NDB 90001)")) == 200


# All or nothing


def test_a_broken_last_line_changes_nothing(tmp_path):
    before = everything()
    with pytest.raises(BadFile, match="food_portion.csv:6: there is no food"):
        import_foods(spoiled(tmp_path, CSV, "food_portion.csv", '"5","9006"', '"5","9999"'))
    assert everything() == before


def test_what_goes_wrong_while_writing_undoes_everything(monkeypatch):
    before = everything()

    def fail(*args, **options):
        raise OSError("the disk is full")

    monkeypatch.setattr("nutrients.food_import.writing.Measure.objects.bulk_create", fail)
    with pytest.raises(OSError, match="the disk is full"):
        import_foods(CSV)
    assert everything() == before


def test_the_whole_is_asked_for_in_few_queries(django_assert_max_num_queries):
    """The same whether 5 foods come or 400."""
    with django_assert_max_num_queries(20):
        import_foods(CSV)


# The command


def test_the_command_says_what_it_did(capsys):
    call_command("import_foods", str(CSV))
    said = capsys.readouterr().out.split("\n")
    assert said[2].split() == ["foods", "5", "0", "0"]
    assert said[3].split() == ["values", "28", "0", "0"]
    assert f"Left out, 1: {CURATED}" in said
    assert "    such as Cheese, cheddar, test" in said


def test_the_command_can_run_dry_and_for_some_groups(capsys):
    before = everything()
    call_command("import_foods", str(CSV), "--dry-run", "--only", "legume", "--only", "dairy")
    said = capsys.readouterr().out
    assert said.split("\n")[2].split() == ["foods", "2", "0", "0"]
    assert said.rstrip().endswith("Nothing was written.")
    assert everything() == before


def test_the_command_refuses_a_group_that_is_none():
    with pytest.raises(CommandError, match="There is no group 'meat'. The groups are: .*; muscle meat; "):
        call_command("import_foods", str(CSV), "--only", "meat")
    assert "muscle meat" in groups()


def test_the_command_names_file_and_line(tmp_path):
    broken = spoiled(tmp_path, CSV, "food_nutrient.csv", '"20.5"', '"2O.5"')
    with pytest.raises(
        CommandError, match=r"^food_nutrient.csv:2: '2O.5' is not a number. Nothing was changed.$"
    ):
        call_command("import_foods", str(broken))
