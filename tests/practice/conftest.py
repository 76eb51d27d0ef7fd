"""What the tests of the practice share."""

from collections.abc import Callable

import pytest

from patients.models import Sheet
from tests.practice.demo_sheets import issue_all


@pytest.fixture
def issued(db, monkeypatch) -> Callable[..., list[Sheet]]:
    """A function: language and units -> the demo's sheets. Their PDFs are not drawn."""
    monkeypatch.setattr("patients.pdf.render", lambda record: b"%PDF-")
    return lambda language, units="metric": issue_all(language, units)
