"""Retention factors and batch yields as tables that a template only has to write down. Pure."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

POT = "pot"
VERIFIED = "verified"


@dataclass(frozen=True)
class Cell:
    """A factor [percent] where a row and a column meet; row None where none is known.

    in_doubt: not seen in the source as it stands here. row_name, column: what it belongs to.
    """

    row: object | None
    row_name: str
    column: str

    @property
    def in_doubt(self) -> bool:
        return self.row is not None and self.row.certainty != VERIFIED


@dataclass(frozen=True)
class Matrix:
    """corner: what the rows are. columns: their heads. rows: a head and a cell per column. doubts: what is
    said about cells in doubt.
    """

    corner: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, tuple[Cell, ...]], ...]
    doubts: tuple[str, ...] = ()


def retention_matrix(factors: Iterable, wanted: dict, methods: dict[str, str]) -> Matrix:
    """Retention factors, of which one dimension at least is fixed, as a table.

    factors: in the order of the table. wanted: `group` and `nutrient` where they are fixed. methods: the
    spoken names in order. For one group the nutrients stand by the methods, for one nutrient the groups by
    the methods, otherwise the groups by the nutrients of one method.
    """
    factors = list(factors)
    by_method = wanted.get("group") or wanted.get("nutrient")
    row_of = (lambda each: each.nutrient.name) if wanted.get("group") else (lambda each: each.food_group)
    column_of = (lambda each: methods[each.method]) if by_method else (lambda each: each.nutrient.name)
    heads = list(methods.values()) if by_method else _in_order_of_nutrients(factors)
    corner = "Nutrient" if wanted.get("group") else "Food group"
    return replace(_matrix(corner, factors, row_of, column_of, heads), doubts=_doubts(factors))


def _in_order_of_nutrients(factors: list) -> list[str]:
    nutrients = {each.nutrient.name: each.nutrient.order for each in factors}
    return sorted(nutrients, key=nutrients.get)


def batch_yield_matrix(yields: Iterable, methods: dict[str, str]) -> Matrix:
    """The yields that batches are estimated with: groups by methods, the pot as a whole first."""
    ordered = sorted(yields, key=lambda each: (each.retention_group != POT, each.retention_group))
    return _matrix(
        "Food group",
        ordered,
        lambda each: each.retention_group,
        lambda each: methods[each.method],
        list(methods.values()),
    )


def _matrix(corner: str, factors: list, row_of: Callable, column_of: Callable, heads: list[str]) -> Matrix:
    known = {(row_of(each), column_of(each)): each for each in factors}
    columns = [head for head in heads if any(column == head for _, column in known)]
    rows = [
        (name, tuple(Cell(known.get((name, column)), name, column) for column in columns))
        for name in dict.fromkeys(map(row_of, factors))
    ]
    return Matrix(corner, tuple(columns), tuple(rows))


def _doubts(factors: list) -> tuple[str, ...]:
    """What stands beside the factors that were not seen in their source as they stand here, each once."""
    doubtful = [each for each in factors if each.certainty != VERIFIED]
    return tuple(
        dict.fromkeys(
            f"{each.nutrient.name}, {each.certainty}: {each.note or each.source}." for each in doubtful
        )
    )
