"""What owners read, gathered from programs, templates and tables for the catalogues."""

import ast
import csv
import io
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from babel.messages.pofile import read_po, write_po
from django.utils.translation.template import templatize

from nutrients.language import catalogue
from patients.treats import TREATS
from recipes.household import in_a_kitchen, many_of

HOUSE = Path(__file__).parent.parent
PROGRAMS = ("nutrients", "recipes", "patients")
TEMPLATES = HOUSE / "templates"
FIXTURES = HOUSE / "fixtures"
WORDS = {"say": 1, "later": 1, "say_many": 2, "later_many": 2}  # function -> how many texts it takes
TEMPLATE_WORDS = {"gettext": None, "ngettext": (1, 2)}
# The columns of the tables that come onto a sheet.
TABLES = {
    "nutrients.csv": ("name", "group"),
    "profiles.csv": ("life_stage",),
    "limits.csv": ("kind",),
    "cautions.csv": ("subject",),
    "medicine_nutrients.csv": ("subject", "for_owner"),
    "supplements.csv": ("name", "form"),
    "demo/recipes.csv": ("title",),
    "demo/ingredients.csv": ("food", "note"),
    "demo/kitchen_steps.csv": ("text",),
    "demo/substitutions.csv": ("food", "note"),
}
BLOCKED = "block"  # what is never fed is on no sheet
COMMON = 5  # foods that are measured so: from here on the measure is told in every language
HEADER = """msgid ""
msgstr ""
"Language: {language}\\n"
"MIME-Version: 1.0\\n"
"Content-Type: text/plain; charset=UTF-8\\n"
"Content-Transfer-Encoding: 8bit\\n"
"Plural-Forms: nplurals=2; plural=(n != 1);\\n"

"""

Message = str | tuple[str, str]  # one text, or its singular and plural


def gathered() -> Catalog:
    """Every message with where it stands, in a settled order."""
    found = Catalog(charset="utf-8")
    for message, place in (*_of_programs(), *_of_templates(), *_of_tables(), *_of_measures()):
        found.add(message, locations=[(place, None)])
    return found


def bring_up_to_date(language: str) -> None:
    """Writes the language's catalogue with all messages: what is translated stays, what nobody says goes."""
    path = catalogue(language)
    kept = _read(path, language)
    now = Catalog(locale=language, charset="utf-8", fuzzy=False)
    for message in gathered():
        if message.id:
            before = kept.get(message.id)
            now.add(message.id, before.string if before else "", locations=message.locations)
    written = io.BytesIO()
    write_po(written, now, width=110, sort_output=True, include_lineno=False, omit_header=True)
    half_made = path.with_suffix(".new")
    half_made.write_bytes(HEADER.format(language=language).encode() + written.getvalue())
    half_made.replace(path)


def untranslated(language: str) -> list[Message]:
    """The gathered messages that the language's catalogue has no words for."""
    kept = _read(catalogue(language), language)
    return [message.id for message in gathered() if message.id and not _is_said(kept.get(message.id))]


def _read(path: Path, language: str) -> Catalog:
    with path.open("rb") as written:
        return read_po(written, locale=language)


def _is_said(message) -> bool:
    if message is None:
        return False
    return all(message.string) if isinstance(message.string, tuple) else bool(message.string)


def _of_programs() -> Iterator[tuple[Message, str]]:
    for app in PROGRAMS:
        for path in sorted((HOUSE / app).rglob("*.py")):
            place = path.relative_to(HOUSE).as_posix()
            yield from ((message, place) for message in said_in(path.read_text()))


def said_in(program: str) -> Iterator[Message]:
    """Every text that one of WORDS is called with, wherever the call stands."""
    for node in ast.walk(ast.parse(program)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in WORDS:
            texts = [
                each.value for each in node.args[: WORDS[node.func.id]] if isinstance(each, ast.Constant)
            ]
            if len(texts) == WORDS[node.func.id]:
                yield texts[0] if len(texts) == 1 else tuple(texts)


def _of_templates() -> Iterator[tuple[Message, str]]:
    for path in sorted(TEMPLATES.rglob("*.html")):
        calls = "\n".join(line.strip() for line in templatize(path.read_text()).splitlines())
        for _, message, _, _ in extract("python", io.BytesIO(calls.encode()), keywords=TEMPLATE_WORDS):
            yield message, path.relative_to(HOUSE).as_posix()


def _of_tables() -> Iterator[tuple[str, str]]:
    for name, columns in TABLES.items():
        for row in _rows(name):
            if row.get("action") != BLOCKED:
                yield from ((row[column], f"fixtures/{name}") for column in columns if row[column])


def _of_measures() -> Iterator[tuple[tuple[str, str], str]]:
    """Household measures of the demo's foods and treats, and those that many foods have."""
    foods = {row["food"] for row in _rows("demo/ingredients.csv")} | set(TREATS)
    measures = [row for row in _rows("measures.csv") if in_a_kitchen(row["label"])]
    common = Counter(row["label"] for row in measures)
    for row in measures:
        if row["food"] in foods or common[row["label"]] >= COMMON:
            yield (row["label"], many_of(row["label"])), "fixtures/measures.csv"


def _rows(name: str) -> list[dict[str, str]]:
    with (FIXTURES / name).open(newline="") as table:
        return list(csv.DictReader(table))
