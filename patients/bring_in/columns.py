"""What a column of the file can hold, and which one it probably holds, by its name. Pure."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from patients.bring_in import table

OWNER, DOG, WEIGH_IN, ALL = "Owner", "Dog", "Weigh-in", "The line itself"
LEFT_OUT = ""


@dataclass(frozen=True)
class Column:
    """names: what a file may call it beside its label, in `_plain` words. required: to take a dog on."""

    key: str
    group: str
    label: str
    names: tuple[str, ...]
    required: bool = False


COLUMNS = (
    Column("owner", OWNER, "name of the owner", ("owner", "owner name", "client", "client name"), True),
    Column("second_name", OWNER, "second person", ("second person", "second owner", "co owner")),
    Column("email", OWNER, "e-mail", ("email", "e mail", "mail", "email address", "owner email")),
    Column("phone", OWNER, "phone", ("phone", "telephone", "mobile", "phone number", "owner phone")),
    Column("second_phone", OWNER, "second phone", ("second phone", "phone 2", "other phone")),
    Column("address", OWNER, "address", ("address", "postal address", "owner address")),
    Column("consented_on", OWNER, "agreed to the records on", ("consent", "consented on")),
    Column("name", DOG, "name of the dog", ("dog", "name", "dog name", "patient", "patient name"), True),
    Column("breed", DOG, "breed", ("breed",), True),
    Column("sex", DOG, "sex", ("sex", "gender"), True),
    Column("neutered", DOG, "neutered", ("neutered", "spayed", "castrated", "neuter status")),
    Column("neutered_on", DOG, "neutered when", ("neutered on", "neutered when", "spayed on")),
    Column("born", DOG, "born on", ("born", "born on", "birth date", "date of birth", "dob"), True),
    Column("born_is_estimate", DOG, "birth date is an estimate", ("estimated", "dob estimated")),
    Column("expected_adult_kg", DOG, "expected adult weight", ("expected adult weight", "adult weight")),
    Column("microchip", DOG, "microchip", ("microchip", "chip", "microchip number", "chip number")),
    Column("veterinarian", DOG, "referring veterinarian", ("veterinarian", "vet", "referring veterinarian")),
    Column("clinic", DOG, "clinic", ("clinic", "vet clinic", "practice")),
    Column("conditions", DOG, "medical conditions (between ;)", ("conditions", "diagnoses")),
    Column("medical_notes", DOG, "medical notes", ("medical notes", "medical history")),
    Column("diet_history", DOG, "what it is fed, in words", ("diet", "diet history", "current diet", "food")),
    Column("date", WEIGH_IN, "day of the weigh-in", ("date", "weighed on", "date weighed", "visit date")),
    Column("weight", WEIGH_IN, "weight", ("weight", "body weight", "bodyweight", "current weight")),
    Column("bcs", WEIGH_IN, "body condition score (of 9)", ("bcs", "body condition", "body condition score")),
    Column("note", WEIGH_IN, "note on the weigh-in", ("note", "weight note", "weigh in note")),
    Column("checked", ALL, "looked at: it is right as it stands", (table.CHECKED,)),
)  # fmt: skip
BY_KEY = {column.key: column for column in COLUMNS}
DAYS = ("consented_on", "neutered_on", "born", "date")
WEIGHTS = ("weight", "expected_adult_kg")
NEEDED = tuple(column.key for column in COLUMNS if column.required)
UNIT_IN_NAME = re.compile(r"\b(kg|kgs|kilos?|lbs?|pounds?)\b")


def propose(head: Sequence[str], before: Mapping[str, str]) -> dict[str, str]:
    """Column name -> key, LEFT_OUT where nothing fits; no key twice. before: how it was matched last time."""
    proposed: dict[str, str] = {}
    for name in head:
        key = before.get(name) or _guess(name)
        proposed[name] = LEFT_OUT if key in proposed.values() else key
    return proposed


def unit_in(name: str) -> str:
    """kg or lb, where the column's name says it."""
    found = UNIT_IN_NAME.search(_plain(name))
    return "" if not found else "lb" if found[1][0] in "lp" else "kg"


def problems(chosen: Mapping[str, str]) -> list[str]:
    """What keeps the matched columns from being of use."""
    keys = [key for key in chosen.values() if key]
    wrong = [
        f"Two columns are “{BY_KEY[key].label}”: choose one."
        for key in dict.fromkeys(keys)
        if keys.count(key) > 1
    ]
    if "microchip" not in keys and not {"owner", "name"} <= set(keys):
        wrong.append(
            "Say which column is the name of the dog and which the name of the owner, or the microchip."
        )
    if ("date" in keys) != ("weight" in keys):
        wrong.append("A weigh-in needs both: the column of its day and the one of the weight.")
    return wrong


def _guess(name: str) -> str:
    plain = " ".join(UNIT_IN_NAME.sub(" ", _plain(name)).split())
    return next(
        (column.key for column in COLUMNS if plain in (_plain(column.label), *column.names)), LEFT_OUT
    )


def _plain(name: str) -> str:
    """In small letters, words by single spaces, without other signs."""
    return " ".join(re.sub(r"[^\w]+|_", " ", name.casefold()).split())
