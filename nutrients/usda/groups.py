"""What kind of food a USDA description means: group, retention group, state; and whether it is a brand's.

The rules stand in `usda_groups.csv`: of the lines for a food category the first whose words stand in the
description, and none of whose `unless` words do. What no line places keeps USDA's own category as its
group, which is never taken to be unable to carry a nutrient.
"""

import csv
import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

LONGEST_GROUP = 40
WITHOUT_CATEGORY = "not grouped"

# Words of a description, in the order in which they decide (our reading of USDA's wording).
STATES = (
    ("canned", ("canned",)),
    ("raw", ("raw", "uncooked")),
    ("as sold", ("unprepared", "unheated")),
    (
        "cooked",
        (
            *("cooked", "boiled", "hard-boiled", "simmered", "stewed", "braised", "steamed", "poached"),
            *("baked", "roasted", "rotisserie", "broiled", "pan-broiled", "grilled", "toasted", "heated"),
            *("fried", "pan-fried", "pan-browned", "scrambled", "microwaved"),
        ),
    ),
    ("dried", ("dried", "dry", "dehydrated", "freeze-dried", "powder", "powdered")),
)
AS_SOLD = "as sold"

# Standard Reference writes names of brands in capitals (seen in 95 % of the entries with a manufacturer).
NOT_BRANDS = "USDA|NFSMI"
IN_CAPITALS = re.compile(rf"\b(?!(?:{NOT_BRANDS})\b)[A-Z][A-Z'&.]{{3,}}")


@dataclass(frozen=True)
class Kind:
    group: str
    retention_group: str
    state: str


@dataclass(frozen=True)
class Rule:
    words: re.Pattern | None
    unless: re.Pattern | None
    group: str
    retention_group: str
    raw_is: str

    def holds(self, description: str) -> bool:
        return (not self.words or bool(self.words.search(description))) and not (
            self.unless and self.unless.search(description)
        )


class GroupRules:
    def __init__(self, rows: Iterable[dict[str, str]]):
        self.categories: dict[str, str] = {}
        self._rules: dict[str, list[Rule]] = {}
        for row in rows:
            self.categories[row["code"]] = row["category"]
            rule = Rule(
                whole_words(row["words"].split("|")),
                whole_words(row["unless"].split("|")),
                row["group"],
                row["retention_group"],
                row["raw_is"],
            )
            self._rules.setdefault(row["code"], []).append(rule)

    @classmethod
    def from_file(cls, path: Path) -> "GroupRules":
        with path.open(newline="", encoding="utf-8") as file:
            return cls(csv.DictReader(file))

    @property
    def groups(self) -> list[str]:
        """Every group that a food can come into: those of the rules first, then USDA's own categories."""
        placed = {rule.group for rules in self._rules.values() for rule in rules if rule.group}
        return sorted(placed) + sorted({own_group(name) for name in self.categories.values()} - placed)

    def kind(self, code: str, category: str, description: str) -> Kind:
        """The kind of a food of this category, from what its description says."""
        rule = next((rule for rule in self._rules.get(code, []) if rule.holds(description)), None)
        own = own_group(category or self.categories.get(code, ""))
        if rule is None:
            return Kind(own, "", state(description))
        said = state(description)
        return Kind(
            rule.group or own, rule.retention_group, rule.raw_is if said == "raw" and rule.raw_is else said
        )


def own_group(category: str) -> str:
    return category.lower()[:LONGEST_GROUP] or WITHOUT_CATEGORY


def whole_words(words: Iterable[str]) -> re.Pattern | None:
    """A pattern for any of the words or phrases, None for none."""
    spoken = "|".join(re.escape(word) for word in words if word)
    return re.compile(rf"(?<!\w)(?:{spoken})(?!\w)", re.IGNORECASE) if spoken else None


STATE_WORDS = [(name, whole_words(words)) for name, words in STATES]


def state(description: str) -> str:
    """How the food is, by the words of its description: `raw`, `cooked`, `canned`, `dried` or `as sold`."""
    return next((name for name, words in STATE_WORDS if words.search(description)), AS_SOLD)


def carries_a_brand(description: str, manufacturer: str = "") -> bool:
    return bool(manufacturer) or bool(IN_CAPITALS.search(description))
