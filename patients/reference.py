"""The published rules for daily energy, from their table into the database."""

from collections.abc import Iterator
from pathlib import Path

from nutrients.reference import Count, read, write
from patients.models import EnergyFactor


def load(folder: Path) -> Iterator[Count]:
    """Load energy_factors.csv. Raises BadLine for the first line that is not right."""
    yield write(read(folder / "energy_factors.csv", EnergyFactor), ("key",))
