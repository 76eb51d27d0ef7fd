"""Files that came from elsewhere: what is refused, in what words, and that nothing is written then."""

import csv
import io
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse

from nutrients.database import archive
from nutrients.database.archive import BadArchive, TableArchive
from nutrients.database.export import DICTIONARY_FILE, write_database
from nutrients.database.tables import TABLES
from nutrients.models import Food, Nutrient

FILES = [table.file for table in TABLES]


def zipped(path, files: dict[str, bytes | str]):
    with ZipFile(path, "w") as made:
        for name, content in files.items():
            made.writestr(ZipInfo(name), content, compress_type=ZIP_DEFLATED)
    return path


def opened(path, wanted=("a.csv",), columns=("x", "y")):
    with TableArchive(path, wanted, also=["notes.csv"]) as found:
        return [row for name in wanted for row in found.rows(name, columns)]


def test_rows_with_their_places(tmp_path):
    path = zipped(tmp_path / "a.zip", {"a.csv": 'y,x\r\n1,"two\nlines"\r\n\'=2,ä\r\n'})
    assert [(row.place, row.cells) for row in opened(path)] == [
        ("a.csv:3", {"y": "1", "x": "two\nlines"}),
        ("a.csv:4", {"y": "=2", "x": "ä"}),
    ]


def test_a_byte_order_mark_is_passed_over(tmp_path):
    path = zipped(tmp_path / "a.zip", {"a.csv": "x,y\n1,2\n".encode("utf-8-sig")})
    assert opened(path)[0].cells == {"x": "1", "y": "2"}


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("/etc/a.csv", "leads out"), ("../a.csv", "leads out"), ("b/../../a.csv", "leads out"),
        ("..\\a.csv", "leads out"), ("C:\\a.csv", "leads out"), ("export/a.csv", "stands in a folder"),
        ("run.sh", "does not belong"),
    ],
)  # fmt: skip
def test_foreign_names(tmp_path, name, words):
    path = zipped(tmp_path / "a.zip", {"a.csv": "x,y\n", name: "x,y\n"})
    with pytest.raises(BadArchive, match=words):
        opened(path)


def test_a_table_that_is_missing(tmp_path):
    with pytest.raises(BadArchive, match=r"a\.csv is missing"):
        opened(zipped(tmp_path / "a.zip", {"notes.csv": ""}))


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_a_table_that_stands_there_twice(tmp_path):
    with ZipFile(tmp_path / "a.zip", "w") as made:
        made.writestr("a.csv", "x,y\n")
        made.writestr("a.csv", "x,y\n1,2\n")
    with pytest.raises(BadArchive, match="twice"):
        opened(tmp_path / "a.zip")


def test_a_file_that_unpacks_to_too_much(tmp_path, monkeypatch):
    path = zipped(tmp_path / "a.zip", {"a.csv": "x,y\n" + "1,2\n" * 5000})
    assert path.stat().st_size < 1000
    assert len(opened(path)) == 5000
    monkeypatch.setattr(archive, "MOST_BYTES", 20_000)
    with pytest.raises(BadArchive, match="unpacks to 20,004 bytes; the most that is read is 20,000"):
        opened(path)


def test_a_size_that_is_a_lie_is_found_out(tmp_path):
    """The unpacked size as it stands in the list of contents, set to 8 bytes."""
    path = zipped(tmp_path / "a.zip", {"a.csv": "x,y\n" + "1,2\n" * 5000})
    raw = bytearray(path.read_bytes())
    entry = raw.rindex(b"PK\x01\x02")
    raw[entry + 24 : entry + 28] = (8).to_bytes(4, "little")
    path.write_bytes(raw)
    with pytest.raises(BadArchive, match="damaged"):
        opened(path)


def test_a_locked_table(tmp_path):
    path = zipped(tmp_path / "a.zip", {"a.csv": "x,y\n"})
    raw = bytearray(path.read_bytes())
    raw[raw.rindex(b"PK\x01\x02") + 8] |= 1
    path.write_bytes(raw)
    with pytest.raises(BadArchive, match="password"):
        opened(path)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ("x,y\n1,K\u00e4se\n".encode("latin-1"), r"a\.csv:2: not UTF-8 \(byte 0xE4\)"),
        ("x,y\n".encode("utf-16"), r"a\.csv:1: not UTF-8 \(byte 0xFF\)"),
        (b"x,z\n", r"a\.csv:1: the columns must be x, y"),
        (b"", r"a\.csv:1: the columns must be x, y"),
        (b"x,y\n1,2\n1,2,3\n", r"a\.csv:3: 2 cells were expected, not 3"),
        (b'x,y\n"' + b"a" * 200_000 + b'",1\n', r"a\.csv:2: field larger"),
    ],
)
def test_tables_that_cannot_be_read(tmp_path, content, words):
    with pytest.raises(BadArchive, match=words):
        opened(zipped(tmp_path / "a.zip", {"a.csv": content}))


def test_something_else_than_a_zip_file(tmp_path):
    (tmp_path / "a.zip").write_text("food,grams\n")
    with pytest.raises(BadArchive, match="no zip file"):
        opened(tmp_path / "a.zip")
    with pytest.raises(BadArchive, match="no zip file"):
        opened(tmp_path / "none.zip")


# What the tables say


@pytest.fixture
def contents(db) -> dict[str, list[dict[str, str]]]:
    """The exported database as rows that a test may spoil; most foods are left out."""
    made = io.BytesIO()
    write_database(made)
    with ZipFile(made) as exported:
        tables = {
            name: list(csv.DictReader(io.StringIO(exported.read(name).decode(), newline="")))
            for name in exported.namelist()
        }
    food = "Beef liver, raw"
    for name in ("values.csv", "measures.csv"):
        tables[name] = [row for row in tables[name] if row["food"] == food]
    for name in ("supplements.csv", "label_amounts.csv", "retention.csv"):
        tables[name] = tables[name][:1]
    tables["label_amounts.csv"] = []
    return tables


def brought_in(tmp_path, tables, **options):
    def text(name, rows):
        out = io.StringIO()
        columns = next(table.columns for table in TABLES if table.file == name)
        writer = csv.DictWriter(out, columns)
        writer.writeheader()
        writer.writerows(rows)
        return out.getvalue()

    files = {name: text(name, rows) for name, rows in tables.items() if name != DICTIONARY_FILE}
    out = io.StringIO()
    call_command("import_database", str(zipped(tmp_path / "all.zip", files)), stdout=out, **options)
    return out.getvalue()


def test_the_command_counts(contents, tmp_path):
    contents["foods.csv"].append(contents["foods.csv"][0] | {"name": "Barley, own", "by_hand": "changed"})
    said = brought_in(tmp_path, contents)
    foods = next(line for line in said.splitlines() if line.startswith("foods.csv"))
    assert foods.split()[1:3] == ["1", "0"]
    assert Food.objects.get(name="Barley, own").history.count() == 1


def test_a_dry_run_says_so(contents, tmp_path):
    contents["foods.csv"].append(contents["foods.csv"][0] | {"name": "Barley, own"})
    assert "Nothing was written." in brought_in(tmp_path, contents, dry_run=True)
    assert not Food.objects.filter(name="Barley, own").exists()


@pytest.mark.parametrize(
    ("table", "change", "words"),
    [
        ("values.csv", {"per_100g": "-1"}, r"values\.csv:2: .*greater than or equal to 0"),
        ("values.csv", {"per_100g": "1,5"}, r"values\.csv:2: per_100g must be a number, not '1,5'"),
        ("values.csv", {"per_100g": "nan"}, r"values\.csv:2: per_100g must be a number"),
        ("values.csv", {"per_100g": ""}, r"values\.csv:2: .*Enter the amount"),
        ("values.csv", {"unit": "lb"}, r"values\.csv:2: unit must be '[a-z]+' here, not 'lb'"),
        ("values.csv", {"food": "Unicorn"}, r"values\.csv:2: 'Unicorn' stands in no other table"),
        ("values.csv", {"food": ""}, r"values\.csv:2: '' stands in no other table"),
        (
            "values.csv",
            {"nutrient": "ca_p_ratio", "unit": "ratio"},
            r"values\.csv:2: ca_p_ratio is worked out",
        ),
        ("values.csv", {"kind": "guess"}, r"values\.csv:2: .*not a valid choice"),
        ("values.csv", {"by_hand": "maybe"}, r"values\.csv:2: by_hand cannot be 'maybe'"),
        ("foods.csv", {"by_hand": "removed"}, r"foods\.csv:2: by_hand cannot be 'removed'"),
        ("foods.csv", {"own": "1"}, r"foods\.csv:2: own must be yes or no, not '1'"),
        ("foods.csv", {"note": "a\0b"}, r"foods\.csv:2: note holds a NUL character"),
        ("profiles.csv", {"inherits": "aafco-adult", "key": "aafco-adult"}, "refers to itself in a circle"),
        (
            "limits.csv",
            {"minimum": "", "maximum": "", "kind": "", "maximum_certainty": ""},
            "needs a minimum",
        ),
    ],
)
def test_what_cannot_be_right_is_told_with_its_place(contents, tmp_path, table, change, words):
    contents[table][0] |= change
    contents["nutrients.csv"][0] |= {"name": "Renamed"}
    with pytest.raises(CommandError, match=rf"{words}.*Nothing was changed\."):
        brought_in(tmp_path, contents)
    assert not Nutrient.objects.filter(name="Renamed").exists()


def test_a_row_that_stands_there_twice(contents, tmp_path):
    contents["values.csv"].append(contents["values.csv"][0])
    with pytest.raises(CommandError, match=r"values\.csv:\d+: .* stands in values\.csv:2 already"):
        brought_in(tmp_path, contents)


def test_the_page_hands_the_file_out(signed_in, tmp_path):
    answer = signed_in.get(reverse("nutrients:database-export"))
    assert answer.headers["Content-Disposition"] == 'attachment; filename="nutrient-database.zip"'
    path = tmp_path / "all.zip"
    path.write_bytes(b"".join(answer.streaming_content))
    with ZipFile(path) as exported:
        assert exported.namelist() == [DICTIONARY_FILE, *FILES]
    assert (
        reverse("nutrients:database-export") in signed_in.get(reverse("nutrients:food-list")).content.decode()
    )
