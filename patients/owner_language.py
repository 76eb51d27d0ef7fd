"""An owner's own language, for sentences and templates alike."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.utils import translation

from nutrients.language import ENGLISH, speaking


@contextmanager
def told_in(language: str) -> Iterator[None]:
    """Sentences, numbers and templates inside are in it. Raises ValueError for one without words."""
    with speaking(language), translation.override(language):
        yield


def language_of(record: dict) -> str:
    """The language a sheet's record was written in; the first sheets were English and did not say so."""
    return record.get("language", ENGLISH)
