"""Reading USDA's downloads: what comes out of the small ones, worked out by hand from their files."""

import csv
import tracemalloc
from itertools import islice

import pytest

from nutrients import usda
from nutrients.units import convert
from nutrients.usda import Household, Kind
from nutrients.usda.amounts import Amounts
from nutrients.usda.fdc_csv import FdcCsv, rows
from nutrients.usda.sr_ascii import SrAscii
from tests.nutrients.usda_files import ABBREVIATED, CSV, FIXTURES, SR, TABLES, amounts, packed, read


@pytest.fixture(scope="module")
def from_csv():
    return read(CSV)


@pytest.fixture(scope="module")
def from_sr():
    return read(SR)


def test_only_foods_of_sr_legacy_and_foundation_are_taken(from_csv):
    taken = {key: (food.release.label, food.ref) for key, food in from_csv.foods.items()}
    assert taken == {
        "9001": ("SR Legacy", "90001"),
        "9002": ("SR Legacy", "90002"),
        "9003": ("Foundation Foods", "FDC 9003"),
        "9005": ("Foundation Foods", "90004"),
        "9008": ("SR Legacy", "01009"),
        "9010": ("Foundation Foods", "90001"),
    }


def test_what_is_left_out_is_counted_with_its_reason(from_csv):
    assert from_csv.left_out.counts == {
        "branded food: it would bring trade names into the library": 1,
        "not a food to cook with: USDA's data type 'sub_sample_food'": 1,
        "an older edition of a food that is in the download again": 1,
        "carries a trade name (words in capitals, or a manufacturer)": 1,
        "carbohydrate by difference below zero: left unknown": 1,
        "household measure without an amount, words or weight": 1,
    }


def test_trade_names_are_not_given_as_examples(from_csv, from_sr):
    said = [
        example
        for left in (from_csv, from_sr)
        for words in left.left_out.examples.values()
        for example in words
    ]
    assert said
    assert not any("SOMEBODY" in example.upper() or "Snacks" in example for example in said)
    assert {"9006", "90009", "90023"} <= set(said)


def test_amounts_come_in_our_nutrients_and_units(from_csv):
    assert amounts(from_csv, "9002") == {
        "protein": 20.5,
        "fat": 6,
        "water": 11.2,
        "energy": 378,
        "calcium": 57,
        "copper": 0.656,
        "linoleic_acid": 2.593,  # 618, as 675 is not given
    }


def test_of_two_numbers_for_a_nutrient_the_better_one_counts_whatever_their_order(from_csv):
    beef = {column.nutrient: (column.number, amount) for column, amount in from_csv.amounts.of("9001")}
    assert beef["linoleic_acid"] == ("675", 0.21)
    assert beef["vitamin_d"] == ("324", 3)
    assert beef["energy"] == ("208", 133)  # and not 268, which is kJ


def test_where_the_better_number_is_missing_the_next_one_counts(from_csv):
    kale, yogurt = amounts(from_csv, "9003"), amounts(from_csv, "9005")
    assert kale["energy"] == 35  # 958, specific factors, before 957
    assert yogurt["vitamin_d"] == pytest.approx(1.3 * 40)
    assert yogurt["iodine"] == 32.33


def test_zero_is_published_and_blank_is_unknown(from_csv):
    assert amounts(from_csv, "9001")["carbohydrate"] == 0
    kale = amounts(from_csv, "9003")
    assert kale["vitamin_d"] == 0
    assert "iodine" not in kale


def test_a_carbohydrate_below_zero_is_unknown(from_csv):
    assert "carbohydrate" not in amounts(from_csv, "9003")


def test_household_measures_join_unit_and_modifier(from_csv):
    assert from_csv.measures == {
        "9001": [Household(3, "oz", 85)],
        "9002": [Household(1, "cup, dry", 200)],
        "9003": [Household(1, "cup, chopped", 16.5)],
    }


def test_kinds_come_from_category_and_description(from_csv, from_sr):
    assert from_csv.kinds["9001"] == Kind("muscle meat", "beef", "raw")
    assert from_csv.kinds["9002"] == Kind("legume", "bean", "dried")
    assert from_sr.kinds["90021"] == Kind("organ", "liver", "raw")


def test_the_text_files_are_read(from_sr):
    assert list(from_sr.foods) == ["90001", "90021", "90022"]
    assert from_sr.foods["90022"].description == "Açaí, test kind, raw"
    assert [food.refuse_percent for food in from_sr.foods.values()] == [12, None, 20]
    assert amounts(from_sr, "90001") == {"protein": 21.4, "energy": 133, "tryptophan": 0.22}
    assert amounts(from_sr, "90021") == {"protein": 19.9, "retinol": 11000, "vitamin_d": 0}
    assert from_sr.measures == {"90001": [Household(3, "oz", 85)], "90022": [Household(0.5, "cup", 60.5)]}
    assert from_sr.left_out.counts == {"carries a trade name (words in capitals, or a manufacturer)": 1}


def test_the_abbreviated_file_is_read():
    reading = read(ABBREVIATED)
    assert amounts(reading, "90001") == {
        "water": 72.9,
        "energy": 133,
        "protein": 21.4,
        "copper": 0.07,
        "vitamin_d": 3,
    }
    assert amounts(reading, "90021") == {"energy": 140, "protein": 19.9, "retinol": 11000}
    assert reading.measures == {"90001": [Household(3, "oz", 85), Household(1, "1/4 slice", 7.5)]}
    assert {food.release.label for food in reading.foods.values()} == {"abbreviated text file"}


@pytest.mark.parametrize("download", [CSV, SR, ABBREVIATED], ids=lambda path: path.name)
def test_a_zip_gives_the_same_as_its_folder(tmp_path, download):
    folder, packed_up = read(download), read(packed(tmp_path, download))
    assert packed_up.foods == folder.foods
    assert packed_up.measures == folder.measures
    for key in folder.foods:
        assert amounts(packed_up, key) == amounts(folder, key)


def test_only_the_chosen_groups_are_taken():
    reading = read(CSV, only=["legume", "dairy"])
    assert set(reading.foods) == {"9002", "9005", "9008"}
    assert reading.left_out.counts["not in a chosen group"] == 4


# Reading as it goes


class Counted:
    """An archive whose lines are made as they are asked for, up to more than anybody should."""

    def __init__(self, header: str, line: str):
        self.given = 0
        self.header, self.line = header, line

    def require(self, *names):
        pass

    def lines(self, name, encoding):
        yield self.header
        for self.given in range(1, 1000):
            yield self.line
        pytest.fail("read far beyond what was asked for")


def test_csv_rows_are_read_only_as_they_are_asked_for():
    many = Counted('"fdc_id","nutrient_id","amount"\n', '"1","1003","20"\n')
    assert list(islice(rows(many, "food_nutrient.csv", ["fdc_id", "amount"]), 3)) == [
        (2, ("1", "20")),
        (3, ("1", "20")),
        (4, ("1", "20")),
    ]
    assert many.given <= 4


def test_values_are_read_only_as_they_are_asked_for(monkeypatch):
    many = Counted('"fdc_id","nutrient_id","amount"\n', '"1","1003","20"\n')
    layout = FdcCsv(many, TABLES.columns)
    monkeypatch.setattr(layout, "_nutrients", lambda: {"1003": TABLES.columns.numbered("203")})
    assert len(list(islice(layout.values({"1"}, set()), 5))) == 5
    assert many.given <= 6


def test_text_lines_are_read_only_as_they_are_asked_for():
    with usda.Archive(SR) as archive:
        foods = SrAscii(archive, TABLES.columns).foods()
        assert next(foods).ref == "90001"
        assert archive.rows_read <= 4 + 1  # the four food groups, and one food


def test_memory_does_not_grow_with_the_lines_of_other_foods(tmp_path):
    """200,000 values of one branded food: 6 MB of text, and not a tenth of it held."""
    for file in CSV.iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    with (tmp_path / "food_nutrient.csv").open("a") as file:
        file.writelines('"1","9006","1003","10","","46",""\n' for _ in range(200_000))
    tracemalloc.start()
    reading = read(tmp_path)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert len(reading.foods) == 6
    assert peak < 3 * 2**20  # buffers of files and readers


def test_a_food_takes_the_same_room_however_much_is_said_of_it():
    held = Amounts(["a"], TABLES.columns)
    column = TABLES.columns.numbered("203")
    for _ in range(1000):
        held.put("a", column, 20.0)
    assert list(held.of("a")) == [(column, 20.0)]


def test_progress_is_told_rows_and_share(tmp_path):
    for file in CSV.iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    with (tmp_path / "food_nutrient.csv").open("a") as file:
        file.writelines('"1","9006","1003","10","","46",""\n' for _ in range(50_000))
    told = []
    with usda.Archive(tmp_path, lambda *said: told.append(said)) as archive:
        usda.read(archive, TABLES)
    assert [told_rows for told_rows, _ in told] == [20_000, 40_000]
    assert 0.3 < told[0][1] < told[1][1] < 1


# The tables


def test_every_factor_is_the_one_of_the_units():
    """The factor against the units' own conversion into the nutrient's unit."""
    with (FIXTURES / "nutrients.csv").open(newline="", encoding="utf-8") as file:
        units = {row["key"]: row["unit"] for row in csv.DictReader(file)}
    for column in TABLES.columns:
        assert convert(1, column.unit, units[column.nutrient], column.nutrient) == pytest.approx(
            column.factor
        )


def test_every_stored_nutrient_that_usda_publishes_has_a_number():
    with (FIXTURES / "nutrients.csv").open(newline="", encoding="utf-8") as file:
        stored = {row["key"] for row in csv.DictReader(file) if row["derived"] == "no"}
    assert stored - set(TABLES.columns.nutrients) == {"chloride", "taurine"}


# USDA's numbers in their own order (SR28 documentation and nutrient.csv, from memory).
NUMBERS = {
    "protein": "203", "fat": "204", "carbohydrate": "205", "ash": "207", "energy": "208", "water": "255",
    "fiber": "291", "calcium": "301", "iron": "303", "magnesium": "304", "phosphorus": "305",
    "potassium": "306", "sodium": "307", "zinc": "309", "copper": "312", "iodine": "314",
    "manganese": "315", "selenium": "317", "vitamin_a_usda": "318", "retinol": "319",
    "beta_carotene": "321", "vitamin_e": "323", "vitamin_d": "324", "vitamin_c": "401", "thiamine": "404",
    "riboflavin": "405", "niacin": "406", "pantothenic_acid": "410", "vitamin_b6": "415", "biotin": "416",
    "folate": "417", "vitamin_b12": "418", "choline": "421", "vitamin_k": "430", "tryptophan": "501",
    "threonine": "502", "isoleucine": "503", "leucine": "504", "lysine": "505", "methionine": "506",
    "cystine": "507", "phenylalanine": "508", "tyrosine": "509", "valine": "510", "arginine": "511",
    "histidine": "512", "cholesterol": "601", "saturated_fat": "606", "dha": "621", "epa": "629",
    "dpa": "631", "monounsaturated_fat": "645", "polyunsaturated_fat": "646", "linoleic_acid": "675",
    "alpha_linolenic_acid": "851", "arachidonic_acid": "855",
}  # fmt: skip


def test_the_first_number_of_every_nutrient_is_usdas():
    first = {column.nutrient: column.number for column in TABLES.columns if column.preference == 1}
    assert first == NUMBERS
