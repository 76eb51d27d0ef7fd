"""The published rules for daily energy, and what medicines and nutrients do to each other, as tables."""

from collections.abc import Iterator
from pathlib import Path

from nutrients.models import Nutrient
from nutrients.reference import BadLine, Count, read, write
from patients.models import EnergyFactor, MedicineCaution

LISTS = ("words", "food_words", "nutrients")  # columns whose entries are separated by a bar


def load(folder: Path) -> Iterator[Count]:
    """Load energy_factors.csv and medicine_nutrients.csv. Raises BadLine for the first line that is wrong."""
    yield write(read(folder / "energy_factors.csv", EnergyFactor), ("key",))
    yield medicines(folder / "medicine_nutrients.csv")


def medicines(path: Path) -> Count:
    known = set(Nutrient.objects.values_list("key", flat=True))
    rows = list(read(path, MedicineCaution))
    for row in rows:
        for column in LISTS:
            setattr(row.instance, column, getattr(row.instance, column).replace("|", "\n"))
        if unknown := set(row.instance.nutrients.split()) - known:
            raise BadLine(row.place, f"{', '.join(sorted(unknown))} stands in no other table")
    return write(rows, ("subject",))
