"""The language in which an owner is spoken to: words, numbers and dates. Pure: reads the catalogues alone.

A sentence is written in English where it is made, with named places: `say("{name} is grown.").format(...)`.
Its translations stand in `locale/<language>/LC_MESSAGES/django.po`, where templates find theirs too.
"""

import gettext
import os
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date
from functools import cache
from pathlib import Path

from babel.dates import format_date
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po
from babel.numbers import format_decimal

LANGUAGES = {"en": "English", "de": "Deutsch", "es": "Español"}
ENGLISH = "en"
CATALOGUES = Path(__file__).parent / "locale"
DOMAIN = "django"
# "y" becomes "e" before the sound of an i (Real Academia Española, from memory); only the last one joins.
SPANISH_E = re.compile(r"\by(?= h?i(?!e)[^,]*$)", re.IGNORECASE)
DAYS = {"en": "d MMMM y", "de": "d. MMMM y", "es": "d 'de' MMMM 'de' y"}
SHORT_DAYS = {"en": "d MMM y", "de": "d. MMM y", "es": "d MMM y"}

_spoken: ContextVar[str] = ContextVar("spoken", default=ENGLISH)


@contextmanager
def speaking(language: str) -> Iterator[None]:
    """Sentences made inside are in this language. Raises ValueError for one that has no catalogue."""
    if language not in LANGUAGES:
        raise ValueError(f"There are no words in {language!r}: choose one of {', '.join(LANGUAGES)}.")
    before = _spoken.set(language)
    try:
        yield
    finally:
        _spoken.reset(before)


def spoken() -> str:
    return _spoken.get()


def say(text: str) -> str:
    """The text in the language spoken; the English itself where nobody translated it."""
    return _words(spoken()).gettext(text) if text else ""


def is_said(text: str) -> bool:
    """Does the language spoken have words for it?"""
    # What is not in the catalogue comes back as the very object; a word may be the same in both languages.
    return spoken() == ENGLISH or not text or say(text) is not text


def later(text: str) -> str:
    """Marks a text for the catalogues where it stands; it is said where it is used."""
    return text


def later_many(one: str, many: str) -> tuple[str, str]:
    """The same of a text for one and for many."""
    return one, many


def say_many(one: str, many: str, count: float) -> str:
    """The text for one or for many. Half a tablet is one; none are many."""
    whole = 1 if 0 < count <= 1 else max(2, round(count)) if count else 0
    return _words(spoken()).ngettext(one, many, whole)


def inside(name: str) -> str:
    """A name inside a sentence: "Zinc" as "zinc", "EPA + DHA" as it is; German nouns keep their capital."""
    if spoken() == "de" or name[1:2].isupper():
        return name
    return name[:1].lower() + name[1:]


def listed(names: Sequence[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    *first, last = names
    if not first:
        return last
    joined = say("{first} and {last}").format(first=", ".join(first), last=last)
    return SPANISH_E.sub("e", joined) if spoken() == "es" else joined


def number(value: float, places: int = 0) -> str:
    """A number with so many decimal places and the language's own signs, such as `1,234.5` or `1.234,5`."""
    pattern = f"#,##0.{'0' * places}" if places else "#,##0"
    return format_decimal(round(value, places), pattern, locale=spoken())


def plain(value: float) -> str:
    """A number with only the decimals it has, at most six digits, such as `0.25` or `7`."""
    return format_decimal(float(f"{value:.6g}"), "#,##0.######", locale=spoken())


def day(on: date) -> str:
    """Such as `1 March 2026`, `1. März 2026`, `1 de marzo de 2026`."""
    return format_date(on, DAYS[spoken()], locale=spoken())


def unit_name(unit: str) -> str:
    """`IU` has its own letters in each language; units of weight and energy have the same in all."""
    return unit.replace("IU", say("IU"))


def short_day(on: date) -> str:
    """Such as `1 Mar 2026`, where there is little room."""
    return format_date(on, SHORT_DAYS[spoken()], locale=spoken())


@cache
def _words(language: str) -> gettext.NullTranslations:
    if language == ENGLISH:
        return gettext.NullTranslations()
    return gettext.translation(DOMAIN, CATALOGUES, [language])


def catalogue(language: str) -> Path:
    return CATALOGUES / language / "LC_MESSAGES" / f"{DOMAIN}.po"


def compile_catalogues() -> None:
    """Writes the machine-readable catalogue beside every one that is newer than it."""
    for language in LANGUAGES.keys() - {ENGLISH}:
        written, compiled = catalogue(language), catalogue(language).with_suffix(".mo")
        if compiled.exists() and compiled.stat().st_mtime >= written.stat().st_mtime:
            continue
        half_made = compiled.with_suffix(f".{os.getpid()}")
        with written.open("rb") as source, half_made.open("wb") as target:
            write_mo(target, read_po(source, locale=language))
        half_made.replace(compiled)
