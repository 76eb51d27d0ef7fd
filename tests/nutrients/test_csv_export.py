"""CSV files: exact numbers, unknown as nothing, and nothing that a spreadsheet would run."""

import csv
import io
import math
from datetime import date

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from nutrients.csv_export import csv_response
from nutrients.csv_text import cell_text, plain_cell, safe_cell


@pytest.mark.parametrize(
    "text",
    [
        "=1+1",
        "+cmd|' /C calc'!A0",
        "-2+3",
        "@SUM(A1)",
        "\t=1",
        "\r=1",
        "\n=1",
        "--5",
        "=",
        "\uff1d1+1",
        "-1-1",
        "+",
    ],
)
def test_formulas_get_an_apostrophe(text):
    assert safe_cell(text) == f"'{text}"


@pytest.mark.parametrize("number", ["-5", "+5", "-0.5", "-.5", "+1.5e-7", "-5.", "1e5"])
def test_plain_numbers_stay(number):
    assert safe_cell(number) == number


@pytest.mark.parametrize("text", ["Barley, pearled, raw", "'s Hertog", "a=b", " =1", "", "«=»", "1-2"])
def test_other_text_stays(text):
    assert safe_cell(text) == text


def test_what_looks_escaped_is_escaped_once_more():
    assert safe_cell("'=1") == "''=1"
    assert plain_cell("''=1") == "'=1"


@given(st.text())
@example("'-5")
@example("-5")
@example("''@")
@example("'")
def test_the_apostrophe_comes_off_exactly(text):
    assert plain_cell(safe_cell(text)) == text


@given(st.text(alphabet="'=+-@\t\r\n0123456789.eE "))
def test_no_cell_begins_like_a_formula(text):
    cell = safe_cell(text)
    if cell.startswith(("=", "+", "-", "@", "\t", "\r")):
        float(cell)  # nothing but a number


@pytest.mark.parametrize(
    ("value", "cell"),
    [
        (None, ""), (math.nan, ""), (0.0, "0"), (5.0, "5"), (0.1, "0.1"), (-1.5, "-1.5"), (True, "yes"),
        (False, "no"), (12, "12"), (date(2026, 3, 1), "2026-03-01"), (1e22, "1e+22"),
    ],
)  # fmt: skip
def test_values_in_cells(value, cell):
    assert cell_text(value) == cell


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_numbers_mean_exactly_the_same(number):
    assert float(safe_cell(number)) == number


def test_the_answer_is_a_file_in_utf_8():
    answer = csv_response(
        "foods.csv", ["food", "note"], [["Käse", 'with "quotes", and a\nline'], ["=x", None]]
    )
    assert answer.headers["Content-Type"] == "text/csv; charset=utf-8"
    assert answer.headers["Content-Disposition"] == 'attachment; filename="foods.csv"'
    rows = list(csv.reader(io.StringIO(answer.content.decode("utf-8"), newline="")))
    assert rows == [["food", "note"], ["Käse", 'with "quotes", and a\nline'], ["'=x", ""]]
    assert not answer.content.startswith(b"\xef\xbb\xbf")
