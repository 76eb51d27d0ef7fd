"""A record's key as it stands in an address or a form: whatever was typed there, or nothing. Pure."""

LONGEST_KEY = 18  # digits; what a database's keys have room for


def asked_key(text: str) -> int | None:
    """The key that the text stands for; None for anything else, also for a number that no key can be."""
    is_key = text.isascii() and text.isdecimal() and len(text) <= LONGEST_KEY
    return int(text) if is_key else None
