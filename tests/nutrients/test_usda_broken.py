"""Downloads that are broken, cut short or hostile: the message says file and line."""

import re
import struct
import zipfile

import pytest

from nutrients.usda import Archive, BadFile
from tests.nutrients.usda_files import ABBREVIATED, CSV, SR, packed, read, spoiled

FOODS, VALUES, PORTIONS = "food.csv", "food_nutrient.csv", "food_portion.csv"
FAT = '"9002","1004","6"'

# The download, its file, what stands there, what is put in its place, and the line and message that follow.
BROKEN = [
    (CSV, FOODS, '"data_type"', '"kind"', "1: the column 'data_type' is missing"),
    (CSV, FOODS, '"9002","sr_legacy_food"', '"9001","sr_legacy_food"', "3: food '9001' stands twice"),
    (CSV, FOODS, 'raw","13"', 'raw","99"', "2: there is no food category '99'"),
    (CSV, FOODS, "Chickpeas", "Chickpe\xe4s", "3: this is not written in UTF-8"),
    (CSV, FOODS, "Chickpeas", "Chick\0peas", "3: this is no line of text"),
    (CSV, VALUES, '"9002","1003","20.5"', '"9002","1003","2O.5"', "2: '2O.5' is not a number"),
    (CSV, VALUES, FAT, '"9002","1004","nan"', "3: 'nan' is not a number"),
    (CSV, VALUES, FAT, '"9002","1004","1_0"', "3: '1_0' is not a number"),
    (CSV, VALUES, FAT, '"9002","1004","-6"', "3: -6 g Total lipid (fat) in 100 g cannot be"),
    (CSV, VALUES, FAT, '"9002","1004","600"', "3: 600 g Total lipid (fat) in 100 g cannot be"),
    (CSV, VALUES, FAT, '"9002","1004"', "3: 7 cells were expected, not 6"),
    (CSV, VALUES, FAT, '"9002","1004","6', "3: ',' expected after '\"'"),
    (CSV, VALUES, FAT, '"9999","1004","6"', "3: there is no food '9999' in food.csv"),
    (CSV, VALUES, FAT, '"9002","7777","6"', "3: there is no nutrient '7777' in nutrient.csv"),
    (CSV, VALUES, FAT, '"9002","1003","6"', "3: nutrient 203 stands twice for this food"),
    (CSV, "nutrient.csv", '"Protein","G"', '"Protein","MG"', "2: nutrient 203 (Protein) is in 'MG'"),
    (CSV, PORTIONS, '"85"', '"heavy"', "2: 'heavy' is not a number"),
    (CSV, PORTIONS, '"9999"', '"4444"', "2: there is no unit '4444'"),
    (CSV, PORTIONS, '"2","9002"', '"2","9999"', "3: there is no food '9999'"),
    (SR, "NUT_DATA.txt", "~203~^19.9", "~203~^19,9", "5: '19,9' is not a number"),
    (SR, "NUT_DATA.txt", "~90021~^~203~", "~99999~^~203~", "5: there is no food '99999'"),
    (SR, "NUT_DATA.txt", "~90021~^~203~", "~90021~^~999~", "5: there is no nutrient '999'"),
    (SR, "NUT_DATA.txt", "~90021~^~203~", "~90021~^~203", "5: a text is not closed by its tilde"),
    (SR, "NUT_DATA.txt", "~203~^19.9^3^", "~203~^19.9^", "5: 18 fields were expected, not 17"),
    (SR, "NUTR_DEF.txt", "~319~^~\xb5g~", "~319~^~mg~", "4: nutrient 319 (Retinol) is in 'mg'"),
    (SR, "FOOD_DES.txt", "~~^12^~~", "~~^120^~~", "1: the refuse is no percentage: '120'"),
    (SR, "FOOD_DES.txt", "~90021~", "~90001~", "2: food '90001' stands twice"),
    (SR, "WEIGHT.txt", "~90022~^1^0.5", "~90022~^1^half", "2: 'half' is not a number"),
    (ABBREVIATED, "ABBREV.txt", "^19.90^", "^19.9O^", "2: '19.9O' is not a number"),
    (ABBREVIATED, "ABBREV.txt", "~90022~^~TEST~^", "~90022~^", "3: 53 fields were expected, not 52"),
]


@pytest.mark.parametrize(
    ("download", "file", "old", "new", "said"), BROKEN, ids=[f"{case[1]} {case[-1]}" for case in BROKEN]
)
def test_a_broken_line_is_named(tmp_path, download, file, old, new, said):
    with pytest.raises(BadFile, match="^" + re.escape(f"{file.lower()}:{said}")):
        read(spoiled(tmp_path, download, file, old, new))


def test_a_quote_that_nothing_closes_is_named_at_its_line(tmp_path):
    broken = spoiled(
        tmp_path, CSV, "food_nutrient.csv", '"9010","1098","0.06","","46",""', '"9010","1098","0.06'
    )
    last = (CSV / "food_nutrient.csv").read_text().count("\n")
    with pytest.raises(BadFile, match=rf"food_nutrient.csv:{last}: unexpected end of data"):
        read(broken)


@pytest.mark.parametrize("file", ["food_nutrient.csv", "food.csv"])
def test_a_file_cut_short_inside_a_row_is_named(tmp_path, file):
    broken = spoiled(tmp_path, CSV, file, "9010", "9010")
    text = (broken / file).read_text()
    (broken / file).write_text(text[: text.rindex(",")])
    with pytest.raises(BadFile, match=rf"{file}:{text.count(chr(10))}: \d cells were expected"):
        read(broken)


@pytest.mark.parametrize("file", ["food_nutrient.csv", "nutrient.csv", "food_portion.csv"])
def test_an_empty_file_is_named(tmp_path, file):
    broken = spoiled(tmp_path, CSV, file, "fdc_id" if file != "nutrient.csv" else "id", "")
    (broken / file).write_text("")
    with pytest.raises(BadFile, match=rf"{file}:1: the column"):
        read(broken)


@pytest.mark.parametrize(
    ("download", "file"),
    [(CSV, VALUES), (CSV, FOODS), (CSV, "measure_unit.csv"), (SR, "NUTR_DEF.txt"), (SR, "FOOD_DES.txt")],
)
def test_a_missing_file_is_named(tmp_path, download, file):
    broken = spoiled(tmp_path, download, file, "~" if file.endswith("txt") else '"', "")
    (broken / file).unlink()
    with pytest.raises(BadFile, match=f"{file.lower()} is missing"):
        read(broken)


def test_a_folder_of_something_else_is_refused(tmp_path):
    (tmp_path / "letters.txt").write_text("Dear Tilda")
    with pytest.raises(BadFile, match="neither food.csv nor FOOD_DES.txt is in it"):
        read(tmp_path)


def test_a_path_that_leads_nowhere_is_refused(tmp_path):
    with pytest.raises(BadFile, match="there is no such file or folder"):
        read(tmp_path / "nowhere.zip")


def test_two_downloads_in_one_folder_are_refused(tmp_path):
    for name in ("april", "october"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "food.csv").write_text("")
    with pytest.raises(BadFile, match="food.csv: there are two files of this name"):
        Archive(tmp_path)


# Zips


def test_a_zip_cut_short_is_refused(tmp_path):
    path = packed(tmp_path, CSV)
    path.write_bytes(path.read_bytes()[:-200])
    with pytest.raises(BadFile, match="download.zip: this is neither a folder nor a whole zip file"):
        read(path)


def test_a_zip_with_damaged_contents_is_named_with_file_and_line(tmp_path):
    path = packed(tmp_path, CSV)
    data = bytearray(path.read_bytes())
    with zipfile.ZipFile(path) as packing:
        member = packing.getinfo("FoodData_2026/food_nutrient.csv")
    start = member.header_offset + 30 + len(member.filename)
    data[start + 100 : start + 140] = bytes(40)
    path.write_bytes(data)
    with pytest.raises(BadFile, match=r"food_nutrient.csv:\d+: "):
        read(path)


@pytest.mark.parametrize(
    "name", ["../food.csv", "/food.csv", "a/../../food.csv", "..\\food.csv", "C:\\food.csv"]
)
def test_a_path_out_of_the_zip_is_refused(tmp_path, name):
    path = packed(tmp_path, CSV)
    with zipfile.ZipFile(path, "a") as packing:
        packing.writestr(zipfile.ZipInfo(name), "x")
    with pytest.raises(BadFile, match=r"download.zip: .* leads out of the zip file"):
        read(path)


def test_a_zip_that_would_swell_is_refused_unread(tmp_path):
    path = tmp_path / "bomb.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packing:
        packing.writestr("food.csv", b"0" * 2**25)
    assert path.stat().st_size < 10**5
    with pytest.raises(BadFile, match="bomb.zip: food.csv would unpack to far more"):
        Archive(path)


def test_a_zip_larger_than_all_of_usda_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr("nutrients.usda.archive.MOST_BYTES", 3000)
    with pytest.raises(BadFile, match="the whole would unpack to far more"):
        read(packed(tmp_path, CSV))


def test_what_is_in_a_zip_beside_the_known_files_is_not_read(tmp_path):
    path = packed(tmp_path, CSV)
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as packing:
        packing.writestr("FoodData_2026/acquisition_samples.csv", b"0" * 2**25)
    assert read(path).foods


def test_a_zip_with_a_password_is_refused(tmp_path):
    """The flag of encryption set by hand: bit 0 of the flags in both headers of the one file."""
    path = tmp_path / "locked.zip"
    with zipfile.ZipFile(path, "w") as packing:
        for file in CSV.iterdir():
            packing.write(file, file.name)
    data = bytearray(path.read_bytes())
    for signature, offset in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        at = data.find(signature)
        while at >= 0:
            (flags,) = struct.unpack_from("<H", data, at + offset)
            struct.pack_into("<H", data, at + offset, flags | 1)
            at = data.find(signature, at + 4)
    path.write_bytes(data)
    with pytest.raises(BadFile, match=r"\.csv:1: the file cannot be read any further .*encrypted"):
        read(path)


def test_a_line_without_end_is_refused(tmp_path):
    broken = spoiled(tmp_path, CSV, "food.csv", "9001", "9" * 1_000_001)
    with pytest.raises(BadFile, match="food.csv:2: this is no line of text"):
        read(broken)
