"""What a download says of a food, before it is known here."""

from collections import Counter
from dataclasses import dataclass, field
from enum import Enum
from typing import NamedTuple


class Release(Enum):
    """A body of data that USDA publishes, by the words that stand as the source of its foods and values."""

    SR_LEGACY = "USDA FoodData Central, SR Legacy"
    FOUNDATION = "USDA FoodData Central, Foundation Foods"
    SR_ASCII = "USDA National Nutrient Database for Standard Reference, text files"
    SR_ABBREVIATED = "USDA National Nutrient Database for Standard Reference, abbreviated text file"

    @property
    def label(self) -> str:
        return self.value.rpartition(", ")[2]

    @property
    def is_standard_reference(self) -> bool:
        """Editions of one and the same table: a food of one is the food of the others."""
        return self is not Release.FOUNDATION


@dataclass(frozen=True, slots=True)
class UsdaFood:
    """A food as its line says. key: its number within the download; ref: the number it is known by.

    refuse_percent: share of the purchased weight, None when not published. published: ISO date or "".
    """

    key: str
    line: int
    release: Release
    ref: str
    description: str
    category_code: str
    category: str
    published: str = ""
    refuse_percent: float | None = None
    manufacturer: str = ""


class NotTaken(NamedTuple):
    """A line that stands for a food which is not wanted here. example: how it is named in a report."""

    key: str
    line: int
    reason: str
    example: str


class Household(NamedTuple):
    """A household measure: `amount` x `label` weigh `grams`."""

    amount: float
    label: str
    grams: float


@dataclass
class LeftOut:
    """What was left out: how often for which reason, and the first examples."""

    most_examples: int = 200
    counts: Counter[str] = field(default_factory=Counter)
    examples: dict[str, list[str]] = field(default_factory=dict)

    def add(self, reason: str, example: str) -> None:
        self.counts[reason] += 1
        examples = self.examples.setdefault(reason, [])
        if len(examples) < self.most_examples:
            examples.append(example)


def ndb_number(text: str) -> str:
    """USDA's five-digit number, with the zeros that some files leave out."""
    return text.strip().zfill(5)
