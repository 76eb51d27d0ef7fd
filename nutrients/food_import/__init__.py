"""Bringing a USDA download into the food table.

`standing` says what is here already and what may be written, `writing` compares and writes, `report` counts,
`runs` does it in the background.
"""

from collections.abc import Callable, Collection
from pathlib import Path

from django.conf import settings

from nutrients import usda
from nutrients.food_import.report import Report
from nutrients.food_import.writing import write

FIXTURES = settings.BASE_DIR / "fixtures"

__all__ = ["Report", "groups", "import_foods", "tables"]


def tables() -> usda.Tables:
    """What USDA's nutrient numbers and descriptions mean here, as `fixtures/` says."""
    return usda.Tables(
        usda.Columns.from_file(FIXTURES / "usda_nutrients.csv"),
        usda.GroupRules.from_file(FIXTURES / "usda_groups.csv"),
    )


def groups() -> list[str]:
    """The groups that foods of a download can come into."""
    return tables().rules.groups


def nothing() -> None:
    """What is done between reading and writing when nobody waits for it."""


def import_foods(
    path: Path,
    *,
    only: Collection[str] = (),
    dry_run: bool = False,
    reading: Callable[[int, float], None] = usda.silent,
    writing: Callable[[], None] = nothing,
) -> Report:
    """Bring the foods of a folder or a zip into the food table; `only` names the groups that are wanted.

    The files are read first, while `reading` is told the rows and the share of the bytes; `writing` is told
    when that is done. Then everything is compared and written in one transaction. Raises `usda.BadFile` for
    the first line that is not right, and then nothing is changed.
    """
    with usda.Archive(path, reading) as archive:
        found = usda.read(archive, tables(), only)
        rows = archive.rows_read
    writing()
    report = Report(rows=rows, dry_run=dry_run, left_out=found.left_out)
    write(found, report)
    return report
