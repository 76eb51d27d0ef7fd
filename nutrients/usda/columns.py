"""Which of USDA's nutrient numbers mean which of our nutrients, in which unit; from `usda_nutrients.csv`."""

import csv
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from nutrients.usda.archive import BadFile

# How the downloads write the units: in capitals (CSV), or in small letters with a Latin-1 micro sign (text).
UNITS = {"g": "g", "mg": "mg", "ug": "ug", "\xb5g": "ug", "mcg": "ug", "kcal": "kcal", "kj": "kJ", "iu": "IU"}


@dataclass(frozen=True, slots=True)
class Column:
    """One nutrient number. USDA's amount [unit] x factor = our amount; preference 1 comes before 2.

    place: where the nutrient stands among all that can be read.
    """

    number: str
    name: str
    nutrient: str
    unit: str
    factor: float
    preference: int
    place: int

    @property
    def origin(self) -> str:
        """Where a value comes from, in words."""
        converted = "" if self.factor == 1 else f", {self.unit} x {self.factor:g}"
        return f"nutrient {self.number}{converted}"


class Columns:
    """The nutrient numbers that are read, and the nutrients they fill."""

    def __init__(self, rows: Iterable[dict[str, str]]):
        self.nutrients: list[str] = []
        self._by_number: dict[str, Column] = {}
        self._by_place: dict[tuple[int, int], Column] = {}
        for row in rows:
            if row["nutrient"] not in self.nutrients:
                self.nutrients.append(row["nutrient"])
            column = Column(
                row["number"],
                row["name"],
                row["nutrient"],
                row["unit"],
                float(row["factor"]),
                int(row["preference"]),
                self.nutrients.index(row["nutrient"]),
            )
            self._by_number[column.number] = column
            self._by_place[column.place, column.preference] = column

    @classmethod
    def from_file(cls, path: Path) -> "Columns":
        with path.open(newline="", encoding="utf-8") as file:
            return cls(csv.DictReader(file))

    def __iter__(self):
        return iter(self._by_number.values())

    def numbered(self, number: str) -> Column | None:
        """The column of a nutrient number, None for a nutrient that is not kept here."""
        return self._by_number.get(number)

    def at(self, place: int, preference: int) -> Column:
        return self._by_place[place, preference]

    def defined(self, file: str, line: int, number: str, unit: str) -> Column | None:
        """The column of a number as a download defines it. Raises BadFile when it has another unit there."""
        column = self.numbered(number)
        if column and UNITS.get(unit.strip().lower(), unit) != column.unit:
            raise BadFile(
                file, line, f"nutrient {number} ({column.name}) is in {unit!r}, not in {column.unit}"
            )
        return column
