"""What a gram of each choice brings after cooking, and which values are missing."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from nutrients.adequacy import ENERGY_PARTS
from nutrients.composition import STORED_PARTS, SUMS
from nutrients.energy_density import ATWATER
from recipes.analysis import Portion, retained


def parts_of(nutrient: str) -> Mapping[str, float]:
    """The stored nutrients that a nutrient or a sum is made of, with how much one unit of each counts."""
    return SUMS.get(nutrient, {nutrient: 1.0})


def ceiling_parts(nutrient: str) -> Mapping[str, float]:
    """The parts that a maximum is judged on: of vitamin A the retinol alone (FEDIAF, dogs)."""
    parts = parts_of(nutrient)
    return {"retinol": parts["retinol"]} if nutrient == "vitamin_a" else parts


@dataclass(frozen=True)
class Contents:
    """Per stored nutrient one value per choice.

    known: amount per gram, 0 where there is no value. lacking: True where a value that matters is missing.
    """

    known: Mapping[str, np.ndarray]
    lacking: Mapping[str, np.ndarray]

    def per_gram(self, parts: Mapping[str, float]) -> np.ndarray:
        return sum(self.known[part] * weight for part, weight in parts.items())

    def lacks(self, parts) -> np.ndarray:
        """True for each choice without a value that matters of any of the parts."""
        return np.any([self.lacking[part] for part in parts], axis=0)

    @property
    def kcal_per_gram(self) -> np.ndarray:
        """As `energy_of` counts it: what is known of protein, fat and NFE."""
        return self.per_gram(dict(zip(ENERGY_PARTS, ATWATER, strict=True)))


def contents_of(
    portions: Sequence[Portion],
    table: pd.DataFrame,
    retention: pd.DataFrame,
    method: str,
    negligible: frozenset[tuple[str, str]],
    nutrients: set[str],
) -> Contents:
    """nutrients: the keys that are judged; those without a column in the table are unknown in every food."""
    keys = [*table.columns, *sorted((nutrients | {*STORED_PARTS, *ENERGY_PARTS}) - {*table.columns})]
    amounts = table.reindex(index=[portion.food for portion in portions], columns=keys).to_numpy(dtype=float)
    _check(amounts, portions, keys)
    cooked = amounts / 100 * retained(portions, retention, method, keys).to_numpy()
    unknown = np.isnan(cooked)
    carries = np.array([[(key, portion.group) not in negligible for key in keys] for portion in portions])
    return Contents(
        known=dict(zip(keys, np.where(unknown, 0.0, cooked).T, strict=True)),
        lacking=dict(zip(keys, (unknown & carries).T, strict=True)),
    )


def _check(amounts: np.ndarray, portions: Sequence[Portion], keys: list[str]) -> None:
    wrong = np.argwhere((amounts < 0) | np.isinf(amounts))
    for row, column in wrong[:1]:
        raise ValueError(f"{portions[row].food} has an impossible amount of {keys[column]}.")
