"""The words by which an owner is known, and how they are taken out of what was written. Pure."""

import re
from collections.abc import Iterable

TAKEN_OUT = "[taken out]"
SHORTEST_PART = 3  # of a name: shorter ones are words of every sentence


def parts_of(names: Iterable[str]) -> set[str]:
    """The names and each of their parts, such as `Tilda Marrow`, `Tilda` and `Marrow`."""
    whole = {name.strip() for name in names}
    parts = {part for name in whole for part in re.findall(r"\w[\w'’-]*", name)}
    return {word for word in whole | parts if len(word) >= SHORTEST_PART}


def without(text: str, words: Iterable[str]) -> str:
    """The text with each of the words taken out, however it is written in capitals. Only whole words."""
    known = sorted({word.strip() for word in words if word.strip()}, key=len, reverse=True)
    if not known:
        return text
    pattern = "|".join(re.escape(word) for word in known)
    return re.sub(rf"(?<!\w)(?:{pattern})(?!\w)", TAKEN_OUT, text, flags=re.IGNORECASE)
