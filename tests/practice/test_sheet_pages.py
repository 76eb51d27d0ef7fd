"""A sheet in a language of long words, told in two units at once, still fits its pages."""

import io

import pypdf
import pytest

from patients.pdf import MOST_PAGES, render
from tests.practice.demo_sheets import issue_all

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(("language", "foot"), [("de", "Seite 1 von"), ("es", "Página 1 de")])
def test_the_longest_sheet_has_no_more_pages_in_another_language(monkeypatch, language, foot):
    with monkeypatch.context() as undrawn:
        undrawn.setattr("patients.pdf.render", lambda record: b"%PDF-")
        longest = issue_all(language, "us")[0]
    pages = pypdf.PdfReader(io.BytesIO(render(longest.record))).pages
    assert len(pages) <= MOST_PAGES
    assert foot in pages[0].extract_text()
