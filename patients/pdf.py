"""The take-home sheet and its cards as PDF, from its record alone and in its language."""

from nutrients.language import later, say
from patients.owner_language import told_as_written
from recipes.printing import printed

MOST_PAGES = 5
# Parts of a sheet on paper of their own: what they are called, and on how many pages they stand at most.
CARDS = {
    "fridge": (later("for the fridge door"), 1),
    "supplements": (later("supplements"), 2),
    "shopping": (later("shopping list"), 2),
}


def render(record: dict) -> bytes:
    """Raises PdfUnavailable without Pango, FatalURLFetchingError for a missing file."""
    with told_as_written(record):
        return printed("patients/sheet_print.html", {"sheet": record}, MOST_PAGES)


def render_card(record: dict, card: str) -> bytes:
    """One of CARDS, the same for the same record. Raises as `render` does, and KeyError for no card."""
    title, most_pages = CARDS[card]
    with told_as_written(record):
        context = {
            "sheet": record,
            "card": card,
            "card_title": say(title),
            "card_template": f"patients/_card_{card}.html",
        }
        return printed("patients/card_print.html", context, most_pages)
