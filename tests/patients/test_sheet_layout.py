"""A sheet holds its layout whatever stands on it: every word inside the page, no two on one another.

Read back with pdfplumber. The names are invented and as long as their fields allow.
"""

import io
from copy import deepcopy

import pdfplumber
import pytest

from patients import pdf
from patients.services import issue_sheet
from tests.patients.feeding import make_practice, make_whole_plan

pytestmark = pytest.mark.django_db

ONE_WORD = "Wolkenbruchbernsteinhundefreund" * 7
LONG = "Brindled Juniper of the Upper Ropewalk " * 5
ARABIC = "محبوب الصغير"
TOUCHING = 0.6  # share of the lower word's height: what lines of text set close may share


@pytest.fixture
def record(practitioner, monkeypatch) -> dict:
    with monkeypatch.context() as undrawn:
        undrawn.setattr(pdf, "render", lambda record: b"%PDF")
        return issue_sheet(
            plan=make_whole_plan(practitioner), by=practitioner, practice=make_practice()
        ).record


def named(record: dict, name: str) -> dict:
    """The dog, its owner, the practice and the recipe are called so."""
    record = deepcopy(record)
    record["dog"] |= {"name": name[:80], "owner": name[:120], "sentence": name}
    record["practice"] |= {"name": name[:120], "address": f"{name}\n{name}"}
    record["recipe"]["title"] = name[:120]
    return record


def long_recipe(record: dict) -> dict:
    """25 ingredients and 20 steps, with notes."""
    record = deepcopy(record)
    food, step = record["recipe"]["foods"][0], record["recipe"]["steps"][:1]
    step = step[0] if step else {"text": "", "minutes": 20, "celsius": None}
    record["recipe"]["foods"] = [
        food | {"food": f"{number}. {LONG}"[:100], "note": LONG, "grams": 1234.5} for number in range(25)
    ]
    record["recipe"]["steps"] = [step | {"text": f"{number}. {LONG}"} for number in range(20)]
    return record


def long_words_in_tables(record: dict) -> dict:
    """Foods and supplements of one word as long as a name may be."""
    record = deepcopy(record)
    for food in record["recipe"]["foods"]:
        food |= {"food": ONE_WORD[:100], "household": ONE_WORD[:40]}
    for moment in record["supplements"]:
        for dose in moment["doses"]:
            dose |= {"food": ONE_WORD[:100], "form": ONE_WORD[:60]}
    return record


def heavy(record: dict, meal_g: float, pot_g: float) -> dict:
    record = deepcopy(record)
    record["feeding"] |= {
        "meal_g": meal_g,
        "day_g": 2 * meal_g,
        "pot_g": pot_g,
        "pots": [[pot_g, meal_g]] * 5,
    }
    return record


def outside(words: list[dict], width: float, height: float) -> list[str]:
    return [
        word["text"]
        for word in words
        if min(word["x0"], word["top"]) < 0 or word["x1"] > width or word["bottom"] > height
    ]


def overlapping(words: list[dict]) -> list[tuple[str, str]]:
    """Pairs of which one is written over the other."""
    found = []
    words = sorted(words, key=lambda word: word["top"])
    for place, upper in enumerate(words):
        for lower in words[place + 1 :]:
            if lower["top"] >= upper["bottom"]:
                break
            wide = min(upper["x1"], lower["x1"]) - max(upper["x0"], lower["x0"])
            high = upper["bottom"] - lower["top"]
            if wide > 1 and high > TOUCHING * (lower["bottom"] - lower["top"]):
                found.append((upper["text"], lower["text"]))
    return found


CASES = {
    "one long word": lambda record: named(record, ONE_WORD),
    "long names": lambda record: named(record, LONG),
    "right to left": lambda record: named(record, ARABIC),
    "signs of HTML": lambda record: named(record, "<b>Juniper</b> & {{ sheet }}"),
    "a long recipe": long_recipe,
    "long words in tables": long_words_in_tables,
    "a dog of 0.3 kg": lambda record: heavy(record, 1.7, 12),
    "a dog of 110 kg": lambda record: heavy(record, 12_345, 345_678),
    "nothing but gaps": lambda record: record | {"shopping": None, "premix": None, "timeline": []},
}


@pytest.mark.parametrize("case", CASES)
def test_every_word_stands_inside_the_page_and_on_no_other(record, case):
    printed = pdf.render(CASES[case](record))
    with pdfplumber.open(io.BytesIO(printed)) as document:
        for page_read in document.pages:
            words = page_read.extract_words(keep_blank_chars=False)
            assert words
            assert outside(words, page_read.width, page_read.height) == []
            assert overlapping(words) == []


def test_both_checks_find_what_they_look_for():
    """Two words on one spot, two lines set close; a word that leaves the page."""
    word = {"text": "a", "x0": 0, "x1": 30, "top": 10, "bottom": 20}
    assert overlapping([word, word | {"text": "b", "top": 12, "bottom": 22}]) == [("a", "b")]
    assert overlapping([word, word | {"text": "b", "top": 18, "bottom": 28}]) == []
    assert overlapping([word, word | {"text": "b", "x0": 31, "x1": 40}]) == []
    assert outside([word, word | {"text": "b", "x0": 590, "x1": 600}], 595, 842) == ["b"]
