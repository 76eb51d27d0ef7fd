"""Files as programs and people write them."""

import csv
import io

import pytest

from patients.bring_in.table import MOST_ROWS, BadTable, faulty_lines, read_table

PLAIN = "dog,owner\nJuniper,Tilda Marrow\n"


@pytest.mark.parametrize(
    "data",
    [
        PLAIN.encode(),
        PLAIN.encode("utf-8-sig"),
        PLAIN.encode("utf-16"),
        PLAIN.replace(",", ";").encode(),
        PLAIN.replace(",", "\t").replace("\n", "\r\n").encode(),
        b"\n" + PLAIN.encode() + b"\n,\n",
        b"dog,owner,\nJuniper,Tilda Marrow,\n",
    ],
)
def test_the_same_table(data):
    table = read_table(data)
    assert table.head == ("dog", "owner")
    assert [row.cells for row in table.rows] == [("Juniper", "Tilda Marrow")]


def test_western_letters_of_an_older_program():
    assert read_table("dog\nBärli\n".encode("cp1252")).rows[0].cells == ("Bärli",)


def test_a_cell_over_two_lines_is_one_and_lines_are_counted_as_in_the_file():
    table = read_table(b'dog,notes\nJuniper,"first\nsecond"\nPepper,\n')
    assert [(row.line, row.cells[1]) for row in table.rows] == [(2, "first\nsecond"), (4, "")]


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "names of the columns"),
        (b"dog,owner\n", "at least one more line"),
        (b"dog,dog\nJuniper,Tilda\n", "Two columns are named"),
        (b"dog,,owner\nJuniper,x,Tilda\n", "Column 2 has no name"),
        (b"dog,owner\nJuniper,Tilda,more\n", "Line 2 has more cells"),
        (b'dog,owner\n"Juniper,Tilda\n', "cannot be read"),
        (b"PK\x03\x04\x00\x00", "no text file"),
        (b"dog\n" + b"Juniper\n" * (MOST_ROWS + 1), f"at most {MOST_ROWS}"),
        (b"dog\n" + b"x" * 10_000_001, "At most 10 MB"),
        ((",".join(f"c{n}" for n in range(61)) + "\n" + "x\n").encode(), "61 columns"),
    ],
)
def test_what_is_no_table_is_said(data, says):
    with pytest.raises(BadTable, match=says):
        read_table(data)


def test_what_was_left_out_can_be_mended_and_read_again():
    table = read_table(b"dog,weight\nJuniper,18\nPepper,=1+1\nBasil,5\n")
    text = "".join(faulty_lines(table, {3: "No weight."}))
    assert list(csv.reader(io.StringIO(text))) == [
        ["dog", "weight", "what is wrong", "looked at"],
        ["Pepper", "'=1+1", "No weight.", ""],
    ]
    again = read_table(text.replace("No weight.,", "No weight.,yes").encode())
    assert again.rows[0].cells == ("Pepper", "=1+1", "No weight.", "yes")
    once_more = list(csv.reader(io.StringIO("".join(faulty_lines(again, {2: "Still none."})))))
    assert once_more == [
        ["dog", "weight", "what is wrong", "looked at"],
        ["Pepper", "'=1+1", "Still none.", "yes"],
    ]
