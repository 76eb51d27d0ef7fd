"""Telephone numbers, however they are written. Pure."""

import re

SHORTEST_NUMBER, COMPARED_DIGITS = 6, 8  # common practice, no source: what is left of country and trunk codes


def number_key(phone: str) -> str:
    """What is the same however a number is written; empty for one that says too little."""
    digits = re.sub(r"\D", "", phone).lstrip("0")[-COMPARED_DIGITS:]
    return digits if len(digits) >= SHORTEST_NUMBER else ""
