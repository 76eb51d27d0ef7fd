"""An owner's own language and units, for sentences and templates alike."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.utils import translation

from nutrients.language import ENGLISH, speaking
from nutrients.owner_units import METRIC, measuring


@contextmanager
def told_in(language: str, units: str = METRIC) -> Iterator[None]:
    """Sentences, numbers and templates inside are in it. Raises ValueError for one without words."""
    with speaking(language), measuring(units), translation.override(language):
        yield


@contextmanager
def told_to(owner) -> Iterator[None]:
    with told_in(owner.language, owner.units):
        yield


@contextmanager
def told_as_written(record: dict) -> Iterator[None]:
    """As a sheet's record was; the first sheets were English and metric and did not say so."""
    with told_in(record.get("language", ENGLISH), record.get("units", METRIC)):
        yield
