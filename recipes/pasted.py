"""A list of ingredients as it was pasted: read line by line, and matched to the foods there are. Pure.

    200 g turkey thigh, skinless / 1 cup cooked barley / 2 large eggs / 1 tsp fish oil

Nothing is dropped: what is no amount and no unit is the food's words, and what no food is called is kept.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from nutrients.food_words import Term

FRACTIONS = dict(
    zip("¼½¾⅓⅔⅛⅜⅝⅞", ("1/4", "1/2", "3/4", "1/3", "2/3", "1/8", "3/8", "5/8", "7/8"), strict=True)
)
UNIT_WORDS = {
    "g": "g gr gram grams gramme grammes",
    "kg": "kg kilo kilos kilogram kilograms",
    "oz": "oz ounce ounces",
    "lb": "lb lbs pound pounds",
    "cup": "cup cups c",
    "tbsp": "tbsp tbs tablespoon tablespoons",
    "tsp": "tsp teaspoon teaspoons",
    "ml": "ml millilitre millilitres milliliter milliliters",
    "dose": "dose doses",
    "tablet": "tablet tablets",
    "capsule": "capsule capsules",
    "drop": "drop drops",
    "scoop": "scoop scoops",
}
UNIT_OF = {word: unit for unit, words in UNIT_WORDS.items() for word in words.split()}
WHOLE = r"\d+(?:[.,]\d+)?"
NUMBER = rf"(?:\d+\s+\d+/\d+|\d+/\d+|{WHOLE})"
AMOUNT = rf"(?P<amount>{NUMBER})\s*(?P<unit>{'|'.join(sorted(UNIT_OF, key=len, reverse=True))})?\.?(?![\w/])"
FIRST = re.compile(rf"^{AMOUNT}\s*(?:of\s+)?(?P<rest>.*)$", re.IGNORECASE)
LAST = re.compile(rf"^(?P<rest>.*?)[\s:,=-]+{AMOUNT}$", re.IGNORECASE)
AGAIN = rf"{NUMBER}\s*(?:{'|'.join(UNIT_OF)})\b"
# 2-3 eggs; 2 x 100 g; 1 lb 4 oz
UNCLEAR = re.compile(rf"^(?:[-–+]\s*\d|to\s+\d|[x×]\s|and\s+\d|{AGAIN})", re.IGNORECASE)
TWO_WAYS = re.compile(r"\d{1,3},\d{3}")  # 1,200: a thousand or one and a bit?
BULLET = re.compile(r"^\s*(?:[-*–](?=\s)|[•·]|\d+[.)](?=\s))\s*")
BRACKETS = re.compile(r"\(([^)]*)\)")

# Not what a food is, but how it comes: the words before or after its name.
COOKED = frozenset(
    ["cooked", "boiled", "simmered", "stewed", "braised", "roasted", "baked", "broiled", "steamed"]
)
PRESERVED = frozenset(["dried", "frozen", "canned", "powder"])
CUT = frozenset(
    ["chopped", "diced", "sliced", "grated", "shredded", "mashed", "minced", "ground", "boneless", "skinless"]
)
SIZED = frozenset(["small", "medium", "large", "lean", "whole", "fresh", "raw", "dry", "organic"])
DESCRIBING = COOKED | PRESERVED | CUT | SIZED
HEAD_COUNTS = 2  # the first word that says what it is weighs as much as two others
SHARE_TO_OFFER = 0.5  # common practice, no source: of a food's words at least half have to be found
MOST_OFFERED = 6


@dataclass(frozen=True)
class PastedLine:
    """One line: amount and unit as far as they were understood, else empty; words: of the food.

    note: what stood in brackets; unclear: a sentence, when the amount could not be read.
    """

    text: str
    amount: str
    unit: str
    words: str
    note: str = ""
    unclear: str = ""


@dataclass(frozen=True)
class Match:
    """A food that the words may mean, and the words that it does not answer to.

    rank: the lower, the nearer; foods of one rank answer alike.
    """

    food: str
    rank: tuple[float, ...]
    missed: tuple[str, ...]


def read(text: str) -> list[PastedLine]:
    """The lines of a list; they are parted by new lines or by " / "."""
    parts = re.split(r"\n|\s/\s", text.replace("\r", "\n"))
    return [read_line(part) for part in parts if part.strip()]


def read_line(text: str) -> PastedLine:
    """One line, such as `1 1/2 cups cooked barley` or `barley, cooked: 235,5 g`."""
    line = _with_plain_fractions(BULLET.sub("", text, count=1)).strip()
    note = "; ".join(part.strip() for part in BRACKETS.findall(line))
    line = " ".join(BRACKETS.sub(" ", line).split())
    found = FIRST.match(line) or LAST.match(line)
    if found is None or UNCLEAR.match(found["rest"]):
        said = "The amount is not clear." if re.search(r"\d", line) else "There is no amount."
        return PastedLine(text.strip(), "", "", line, note, said)
    unit, amount = UNIT_OF.get((found["unit"] or "").lower(), ""), found["amount"]
    unclear = f"“{amount}” can be read two ways." if TWO_WAYS.fullmatch(amount) else ""
    if amount.endswith("/0"):
        unclear = f"“{amount}” is no amount."
    return PastedLine(text.strip(), _figures(amount), unit, found["rest"].strip(" ,:;-"), note, unclear)


def _with_plain_fractions(text: str) -> str:
    """1½ and ½ as 1 1/2 and 1/2."""
    for sign, written in FRACTIONS.items():
        text = re.sub(rf"(\d?)\s*{sign}", rf"\1 {written}", text)
    return text.replace("⁄", "/")


def _figures(amount: str) -> str:
    """The amount as a decimal number: 1 1/2 is 1.5; what is a plain number stays as it was typed."""
    if "/" not in amount:
        return amount
    *whole, fraction = amount.split()
    over, under = map(int, fraction.split("/"))
    return f"{sum(map(int, whole)) + over / under:.6g}" if under else amount


def food_words(line: PastedLine) -> str:
    """The words of a line that may name its food: without what is left of an unclear amount."""
    if not line.unclear:
        return line.words
    words = [word for word in line.words.split() if word.lower() not in UNIT_OF]
    return " ".join(word for word in words if not word[0].isdigit() or word.endswith("%"))


def ranked(terms: Sequence[Term], foods: Iterable[tuple[str, str]]) -> list[Match]:
    """The foods that the words may mean, best first, at most six.

    terms: of `nutrients.food_words.terms`; foods: (name, search text). The first word that says what a food
    is counts double. Of foods that answer to as many words those come first whose name up to its first comma
    says nothing more, that hold the words whole, and that are neither cooked nor preserved unless asked for.
    """
    words = [" ".join(term[0]) for term in terms]
    weights = [HEAD_COUNTS if word == head(words) else 1 for word in words]
    found = []
    for name, text in foods:
        held = [any(begins(needles, text) for needles in term) for term in terms]
        share = sum(weight for weight, holds in zip(weights, held, strict=True) if holds) / sum(weights)
        if share >= SHARE_TO_OFFER:
            missed = tuple(word for word, holds in zip(words, held, strict=True) if not holds)
            found.append(Match(name, (-share, *_distance(terms, words, name, text)), missed))
    return sorted(found, key=lambda match: (match.rank, len(match.food), match.food))[:MOST_OFFERED]


def head(words: Sequence[str]) -> str:
    """The first word that says what it is, such as `eggs` of "2 large eggs"."""
    telling = (word for word in words if word not in DESCRIBING and not word[0].isdigit())
    return next(telling, words[0] if words else "")


def _distance(terms: Sequence[Term], words: Sequence[str], name: str, text: str) -> tuple[float, ...]:
    needles = [needle.strip() for term in terms for needles in term for needle in needles]
    in_text = set(text.replace(",", " ").split())
    more = sum(not any(word.startswith(needle) for needle in needles) for word in text.split(",")[0].split())
    in_whole = sum(any(_whole(needles, in_text) for needles in term) for term in terms)
    treated = (text.endswith(" cooked") or bool(in_text & (COOKED | PRESERVED))) and not set(words) & (
        COOKED | PRESERVED
    )
    return (name.lower() != " ".join(words), more, -in_whole, treated)


def begins(needles: Sequence[str], text: str) -> bool:
    """Does each of these begin a word of the text?"""
    return all(f" {needle.strip()}" in text for needle in needles)


def _whole(needles: Sequence[str], words: set[str]) -> bool:
    """Is each of these a word of its own, in the singular or plural?"""
    return all({needle.strip(), f"{needle.strip()}s", f"{needle.strip()}es"} & words for needle in needles)
