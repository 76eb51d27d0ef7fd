"""Worked examples of the published world: tables in `data/`, one row per example, its source beside it.

Columns of a table of examples: `id`, the inputs, `expected` with its `unit`, `tolerance` (a number in that
unit, or a percentage), `kind`, `source`, `certainty`, `note`; `outside_because` where a row is known to lie
outside its tolerance, and why.

Published examples that are not carried over, because the program has nothing that answers them: the
weight lost per week (1 % of 20 kg), the energy of a newborn (25 kcal per 100 g), the linear form of the
resting energy (30 x kg + 70), and the shares by weight of a generic recipe, whose printed percentages
(58, 29, 2 and 7) do not belong to the printed amounts (240, 120, 10 and 30 g of 405 g). Nor the carbohydrate
of cooked chickpeas, whose printed 81 g and 22 g of protein are more than the 100 g of dry matter.
"""

import csv
from pathlib import Path

import pytest

FOLDER = Path(__file__).parent / "data"


def rows(name: str) -> list[dict[str, str]]:
    """The rows of a table, every cell as text."""
    with (FOLDER / f"{name}.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def examples(name: str) -> list:
    """The rows as test parameters under their id; those with `outside_because` must fail."""
    return [pytest.param(row, id=row["id"], marks=_marks(row)) for row in rows(name)]


def _marks(row: dict[str, str]) -> tuple:
    reason = row.get("outside_because")
    return (pytest.mark.xfail(strict=True, raises=AssertionError, reason=reason),) if reason else ()


def expected(row: dict[str, str]):
    """What the example expects, to compare with `==`."""
    value, tolerance = float(row["expected"]), row["tolerance"]
    if tolerance.endswith("%"):
        return pytest.approx(value, rel=float(tolerance.rstrip("% ")) / 100, abs=0)
    return pytest.approx(value, abs=float(tolerance) + 1e-9, rel=0)
