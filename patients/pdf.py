"""The take-home sheet as PDF, from its record alone."""

from recipes.printing import printed

MOST_PAGES = 5


def render(record: dict) -> bytes:
    """Raises PdfUnavailable without Pango, FatalURLFetchingError for a missing file."""
    return printed("patients/sheet_print.html", {"sheet": record}, MOST_PAGES)
