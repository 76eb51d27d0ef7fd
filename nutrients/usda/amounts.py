"""The amounts of all foods in little room: a row of numbers per food, however many lines a file has."""

import math
from array import array
from collections.abc import Iterable, Iterator

from nutrients.usda.columns import Column, Columns


class Amounts:
    """Amounts per 100 g in our units. Of several numbers for one nutrient the most preferred stands."""

    def __init__(self, foods: Iterable[str], columns: Columns):
        self._columns = columns
        width = len(columns.nutrients)
        self._amounts = {food: array("d", [math.nan]) * width for food in foods}
        self._preferences = {food: bytearray(width) for food in self._amounts}

    def put(self, food: str, column: Column, amount: float) -> None:
        """Keep an amount. Raises ValueError when the same number says something else already."""
        preferences = self._preferences[food]
        held = preferences[column.place]
        if held == column.preference:
            if self._amounts[food][column.place] != amount:
                raise ValueError(
                    f"nutrient {column.number} stands twice for this food, with different amounts"
                )
        elif not held or column.preference < held:
            self._amounts[food][column.place] = amount
            preferences[column.place] = column.preference

    def of(self, food: str) -> Iterator[tuple[Column, float]]:
        """What is known of a food: the column an amount was taken from, and the amount."""
        for place, preference in enumerate(self._preferences[food]):
            if preference:
                yield self._columns.at(place, preference), self._amounts[food][place]
