"""The printed sheet: readable, tagged, complete, and made of our own files alone."""

import io
import logging
import re

import outloud
import pikepdf
import pypdf
import pytest
from django.conf import settings
from PIL import Image
from weasyprint.urls import FatalURLFetchingError

from patients import pdf
from patients.services import issue_sheet
from practice.models import PracticeProfile
from recipes import printing
from recipes.models import KitchenStep
from tests import cast
from tests.patients.feeding import SUPPLEMENTS, WHOLE_RECIPE, make_practice, make_whole_plan

pytestmark = pytest.mark.django_db

ISSUED: dict[str, tuple[dict, bytes]] = {}  # drawing takes a second: each kind of sheet is drawn once


def issued(by, paper: str = "A4", **choices) -> tuple[dict, pypdf.PdfReader, str]:
    """(record, PDF, its text without line breaks)."""
    if paper not in ISSUED:
        plan = make_whole_plan(by, **choices)
        for position, text in enumerate(("Simmer the barley.", "Add the rest and cook it through.")):
            cast.slip_in(KitchenStep, version=plan.recipe_version, position=position, text=text, minutes=20)
        sheet = issue_sheet(plan=plan, by=by, practice=make_practice(paper=paper))
        ISSUED[paper] = (sheet.record, sheet.pdf)
    record, printed = ISSUED[paper]
    reader = pypdf.PdfReader(io.BytesIO(printed))
    return record, reader, " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def test_it_has_three_to_five_pages(practitioner):
    assert 3 <= len(issued(practitioner)[1].pages) <= 5


@pytest.mark.parametrize(("paper", "size"), [("A4", (595, 842)), ("letter", (612, 792))])
def test_the_paper_is_the_practices(practitioner, paper, size):
    reader = issued(practitioner, paper)[1]
    for page in reader.pages:
        assert (round(page.mediabox.width), round(page.mediabox.height)) == size


def test_it_says_how_much_to_feed(practitioner):
    record, _, text = issued(practitioner)
    assert f"{record['feeding']['meal_g']} g at each meal" in text
    assert "Juniper" in text
    assert "18.4 kg" in text
    assert "990 kcal" in text


def test_it_names_every_food_and_supplement_with_its_amount(practitioner):
    record, _, text = issued(practitioner)
    for name in WHOLE_RECIPE:
        assert name in text
    for moment in record["supplements"]:
        for dose in moment["doses"]:
            assert dose["food"] in text
            assert dose["amount"] in text
    assert len(SUPPLEMENTS) == sum(len(moment["doses"]) for moment in record["supplements"])


def test_it_says_what_it_rests_on_and_how_long_it_is_good(practitioner):
    _, reader, _ = issued(practitioner)
    for number, page in enumerate(reader.pages, start=1):
        text = " ".join(page.extract_text().split())
        assert f"Page {number} of {len(reader.pages)}" in text
        assert "Turkey and barley, version 1" in text
        assert "AAFCO adult maintenance, 2016" in text
        assert "USDA SR28 (2015)" in text
        assert "good until" in text


@pytest.mark.parametrize("fewer", [0, 4, 5])
def test_the_nutrients_stand_under_their_heading(practitioner, fewer):
    """However much of the page before is filled."""
    record = issued(practitioner)[0]
    first, *others = record["supplements"]
    doses = first["doses"][: len(first["doses"]) - fewer]
    printed = pdf.render(record | {"supplements": [first | {"doses": doses}, *others]})
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(printed)).pages]
    [under] = [page for page in pages if "What is in it" in page]
    assert "Protein and" in under
    assert "Ratios" in under


def test_it_tells_the_safe_temperatures(practitioner):
    assert "74 °C (165 °F)" in issued(practitioner)[2]


def test_it_is_tagged_and_has_a_language_and_a_title(practitioner):
    issued(practitioner)
    with pikepdf.open(io.BytesIO(ISSUED["A4"][1])) as document:
        assert document.open_metadata()["pdfuaid:part"] == "1"
        assert document.Root.Lang == "en"
        assert document.Root.MarkInfo.Marked
        assert document.Root.ViewerPreferences.DisplayDocTitle
        assert str(document.docinfo.Title) == "Juniper: take-home sheet 1"


def test_every_font_is_embedded_and_is_ours(practitioner):
    fonts = {}
    for page in issued(practitioner)[1].pages:
        for font in page["/Resources"]["/Font"].values():
            descendant = font.get_object()["/DescendantFonts"][0].get_object()
            descriptor = descendant["/FontDescriptor"].get_object()
            fonts[descriptor["/FontName"]] = any(f"/FontFile{kind}" in descriptor for kind in ("", "2", "3"))
    assert fonts
    assert all(fonts.values())
    assert all("Source" in name for name in fonts), fonts


def test_every_header_cell_says_what_it_heads(practitioner):
    issued(practitioner)
    with pikepdf.open(io.BytesIO(ISSUED["A4"][1])) as document:
        scopes = [str(cell.A.Scope) for cell in header_cells(document.Root.StructTreeRoot)]
    assert set(scopes) == {"/Row", "/Column"}


def test_an_accessibility_checker_finds_no_error(practitioner, tmp_path):
    issued(practitioner)
    path = tmp_path / "sheet.pdf"
    path.write_bytes(ISSUED["A4"][1])
    found = outloud.check(str(path)).findings
    assert [finding.message for finding in found if finding.severity == "error"] == []


def header_cells(element):
    if element.get("/S") == "/TH":
        yield element
    children = element.get("/K", ())
    for child in children if isinstance(children, pikepdf.Array) else (children,):
        if isinstance(child, pikepdf.Dictionary):
            yield from header_cells(child)


def test_nothing_is_complained_of_while_drawing(practitioner, caplog):
    record = issued(practitioner)[0]
    with caplog.at_level(logging.WARNING, logger="weasyprint"):
        pdf.render(record)
    assert [entry.getMessage() for entry in caplog.records] == []


def test_a_complaint_would_be_seen(practitioner, caplog, monkeypatch):
    record = issued(practitioner)[0]
    monkeypatch.setattr(
        printing, "render_to_string", lambda *_: "<html lang=en><style>p { colour: red }</style>"
    )
    with caplog.at_level(logging.WARNING, logger="weasyprint"):
        pdf.render(record)
    assert any("colour" in entry.getMessage() for entry in caplog.records)


def test_a_missing_stylesheet_stops_it(practitioner, monkeypatch):
    record = issued(practitioner)[0]
    find = printing.finders.find
    monkeypatch.setattr(printing.finders, "find", lambda path: None if path.endswith(".css") else find(path))
    with pytest.raises(FatalURLFetchingError):
        pdf.render(record)


def test_a_missing_font_stops_it(practitioner, monkeypatch):
    record = issued(practitioner)[0]
    find = printing.finders.find
    monkeypatch.setattr(printing.finders, "find", lambda path: None if path.endswith(".otf") else find(path))
    with pytest.raises(FatalURLFetchingError):
        pdf.render(record)


def test_a_long_recipe_is_set_closer(practitioner):
    record = issued(practitioner)[0]
    line = record["recipe"]["foods"][0]
    long = record | {"recipe": record["recipe"] | {"foods": [line] * 24}}
    assert len(pypdf.PdfReader(io.BytesIO(pdf.render(long))).pages) <= 5


def test_without_its_libraries_it_says_so(monkeypatch):
    import builtins

    load = builtins.__import__

    def without_pango(name, *rest):
        if name == "weasyprint":
            raise OSError("cannot load library 'libpango'")
        return load(name, *rest)

    monkeypatch.setattr(builtins, "__import__", without_pango)
    with pytest.raises(printing.PdfUnavailable, match="Pango"):
        pdf.render({})


def test_its_bookmarks_are_its_headings(practitioner):
    def titles(outline) -> list[str]:
        flat = []
        for each in outline:
            flat += titles(each) if isinstance(each, list) else [each.title]
        return flat

    found = titles(issued(practitioner)[1].outline)
    assert found[:2] == ["Juniper: take-home sheet 1", "How much to feed"]
    assert "Supplements" in found


def pictures_in(record) -> int:
    reader = pypdf.PdfReader(io.BytesIO(pdf.render_card(record, "fridge")))
    return sum(len(page.images) for page in reader.pages)


def test_the_logo_stands_on_paper_and_the_name_where_it_is_gone(practitioner, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    Image.new("RGB", (90, 30), "navy").save(tmp_path / "logo-1.png")
    record = issued(practitioner)[0]
    without = pictures_in(record)
    with_logo = record | {"practice": record["practice"] | {"logo": "logo-1.png"}}
    assert pictures_in(with_logo) == without + 1
    (tmp_path / "logo-1.png").unlink()
    assert pictures_in(with_logo) == without
    text = pypdf.PdfReader(io.BytesIO(pdf.render_card(with_logo, "fridge"))).pages[0].extract_text()
    assert "Quillmarsh Canine Nutrition" in text


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour (WCAG 2.2, definition of relative luminance)."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_every_colour_of_a_practice_can_be_read_on_white():
    css = (settings.BASE_DIR / "static/css/sheet.css").read_text()
    colours = dict(re.findall(r"body(?:\.accent-(\w+))? \{ --accent: (#[0-9a-f]{6}); \}", css))
    colours["leaf"] = colours.pop("")
    assert set(colours) == set(PracticeProfile.Accent.values)
    for colour in colours.values():
        assert 1.05 / (luminance(colour) + 0.05) >= 4.5  # WCAG 2.2, success criterion 1.4.3
