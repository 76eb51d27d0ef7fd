"""The reference data: readable tables in `fixtures/` and how they come into the database.

`lines` reads a table into checked model instances, `tables` writes them (only what is new or different),
and `foods`, `supplements`, `standards` and `kitchen` say which table fills which model.
"""

from collections.abc import Iterator
from pathlib import Path

from nutrients.models import Nutrient
from nutrients.reference import foods, kitchen, standards, supplements
from nutrients.reference.lines import BadLine, read
from nutrients.reference.tables import Count, write

__all__ = ["BadLine", "Count", "load", "read", "write"]


def load(folder: Path) -> Iterator[Count]:
    """Bring every table of `folder` that belongs to this app into the database.

    Raises BadLine for the first line that is not right. The caller holds the transaction.
    """
    yield write(read(folder / "nutrients.csv", Nutrient), ("key",))
    nutrients = {nutrient.key: nutrient for nutrient in Nutrient.objects.all()}
    yield from foods.load(folder, nutrients)
    yield from kitchen.load(folder, nutrients)
    yield from supplements.load(folder, nutrients)
    yield from standards.load(folder, nutrients)
