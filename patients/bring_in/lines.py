"""Each line of the file, read: what it says of an owner, of a dog and of a weigh-in. Pure."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from patients.bring_in import cells
from patients.bring_in.columns import BY_KEY, COLUMNS, DAYS, WEIGHTS
from patients.bring_in.table import Table, TableRow
from patients.sentences import without_unseen


@dataclass(frozen=True)
class Reading:
    """How the file is read. columns: name -> key; order: of dates in numbers; units: key -> kg or lb."""

    columns: Mapping[str, str]
    order: cells.Order | None = None
    units: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Line:
    """values: key -> what its cell says, without those that are empty, and the unit of a weight as it stood
    there; wrong: what cannot be read.
    """

    number: int
    values: dict
    wrong: tuple[str, ...] = ()

    def part(self, group: str) -> dict:
        """What it says of the owner, or of the dog."""
        return {key: self.values[key] for key in _keys(group) if key in self.values}

    @property
    def is_checked(self) -> bool:
        """Somebody has looked at what was asked about it, and left it as it is."""
        return self.values.get("checked", False)


def weigh_in_note(values: dict) -> str:
    """What the file says of a weigh-in beside the weight. The score stands here: a visit would claim findings
    that nobody has told.
    """
    score = f"body condition {values['bcs']} of 9" if "bcs" in values else ""
    return "; ".join(filter(None, ["from a file", score, values.get("note", "")]))


def read_lines(table: Table, reading: Reading) -> list[Line]:
    places = [
        (place, reading.columns[name]) for place, name in enumerate(table.head) if reading.columns.get(name)
    ]
    return [_line(row, places, reading) for row in table.rows]


def day_cells(table: Table, columns: Mapping[str, str]) -> list[str]:
    """All dates of the file: one program wrote them, in one order."""
    return _cells(table, columns, DAYS)


def asks_unit(table: Table, columns: Mapping[str, str], key: str) -> bool:
    """Some weight of the column comes without its unit."""
    return any(not cells.unit_of(cell) for cell in _cells(table, columns, (key,)))


def _cells(table: Table, columns: Mapping[str, str], keys: tuple[str, ...]) -> list[str]:
    places = [place for place, name in enumerate(table.head) if columns.get(name) in keys]
    return [row.cells[place] for row in table.rows for place in places if row.cells[place]]


def _line(row: TableRow, places: list[tuple[int, str]], reading: Reading) -> Line:
    values, wrong = {}, []
    for place, key in places:
        text = "\n".join(map(without_unseen, row.cells[place].splitlines())).strip()
        if not text:
            continue
        try:
            values |= _read(key, text, reading)
        except ValueError as problem:
            wrong.append(f"{BY_KEY[key].label}: {problem}")
    return Line(row.line, values, tuple(wrong))


def _read(key: str, text: str, reading: Reading) -> dict:
    if key in DAYS:
        return {key: cells.read_day(text, reading.order)}
    if key in WEIGHTS:
        unit = reading.units.get(key, "")
        read = {key: cells.read_weight(text, unit)}
        return read | {"unit": cells.unit_of(text) or unit} if key == "weight" else read
    if key == "sex":
        sex, neutered = cells.read_sex(text)
        return {"sex": sex} | ({} if neutered is None else {"neutered": neutered})
    reader: Callable = READERS.get(key, str)
    return {key: reader(text)}


READERS = {
    "neutered": cells.read_yes_no,
    "born_is_estimate": cells.read_yes_no,
    "checked": cells.read_yes_no,
    "bcs": cells.read_score,
    "microchip": lambda text: re.sub(r"[\s.-]", "", text).upper(),
    "conditions": lambda text: tuple(part.strip() for part in text.split(";") if part.strip()),
}


def _keys(group: str) -> list[str]:
    return [column.key for column in COLUMNS if column.group == group]
