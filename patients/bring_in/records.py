"""Owners and dogs, those on record and those that the file brings, found by all that they are known by. Pure.

Who may be the same and may be another one is not guessed at: it is asked, until the line says that somebody
has looked at it.
"""

from collections import defaultdict
from collections.abc import Hashable, Iterable
from dataclasses import dataclass, field
from datetime import date

from patients.bring_in.columns import BY_KEY, DOG, OWNER
from patients.bring_in.lines import Line
from patients.bring_in.table import CHECKED
from patients.phones import number_key

LOOK = f"If it is right as it stands, write yes under “{CHECKED}”"


@dataclass(eq=False)
class OwnerRecord:
    """pk: None for one that the file brings; line: where."""

    values: dict
    pk: int | None = None
    line: int = 0

    @property
    def phones(self) -> set[str]:
        return {number_key(self.values.get(key, "")) for key in ("phone", "second_phone")} - {""}

    @property
    def emails(self) -> set[str]:
        return {self.values.get("email", "").casefold()} - {""}

    def contradicts(self, other: "OwnerRecord") -> bool:
        """Both tell a phone or both an e-mail, and share none."""
        pairs = ((self.phones, other.phones), (self.emails, other.emails))
        return any(ours and theirs and not ours & theirs for ours, theirs in pairs)

    @property
    def names(self) -> set[str]:
        return {self.values.get(key, "").casefold() for key in ("owner", "second_name")} - {""}


@dataclass(eq=False)
class DogRecord:
    """closed: why nothing is recorded for it; weights: day -> kg of all weigh-ins; doubted: days left out."""

    owner: OwnerRecord
    values: dict
    pk: int | None = None
    line: int = 0
    closed: str = ""
    weights: dict[date, float] = field(default_factory=dict)
    doubted: set[date] = field(default_factory=set)

    def counted(self) -> list[tuple[date, float]]:
        return sorted((day, kg) for day, kg in self.weights.items() if day not in self.doubted)


class Refused(Exception):
    """Why a line, or its weigh-in, is not brought in."""


class Records:
    """Owners and dogs, those on record and those of the file, by all that they are known by."""

    def __init__(self, owners: Iterable[OwnerRecord], dogs: Iterable[DogRecord]):
        self._owners, self._dogs = defaultdict(dict), defaultdict(dict)
        for owner in owners:
            self.add_owner(owner)
        for dog in dogs:
            self.add_dog(dog)

    def add_owner(self, owner: OwnerRecord) -> None:
        for key in (*owner.phones, *owner.emails, *(("name", name) for name in owner.names)):
            self._owners[key][owner] = None

    def add_dog(self, dog: DogRecord) -> None:
        for key in self._keys(dog.owner, dog.values):
            self._dogs[key][dog] = None

    def owner(self, line: Line) -> OwnerRecord:
        """The one of the line, else a new one. Raises Refused where it may be another one."""
        new = OwnerRecord(line.part(OWNER), line=line.number)
        by_contact = self._of(self._owners, new.phones | new.emails)
        by_name = self._of(self._owners, {("name", new.values["owner"].casefold())})
        if both := [owner for owner in by_contact if owner in by_name]:
            return _only(both, "owners")
        if by_contact and not line.is_checked:
            raise Refused(f"the phone or e-mail is that of {by_contact[0].values['owner']}. {LOOK}")
        unlike = [owner for owner in by_name if owner.contradicts(new)]
        if by_name and not unlike:
            return _only(by_name, "owners")
        if unlike and not line.is_checked:
            raise Refused(f"an owner of this name is known with another phone or e-mail. {LOOK}")
        return new

    def dog(self, owner: OwnerRecord | None, line: Line) -> DogRecord | None:
        """The one of the line; None: it is not known. Raises Refused where it may be another one."""
        values = line.part(DOG)
        if chipped := self._of(
            self._dogs, {("chip", values.get("microchip"))} if values.get("microchip") else ()
        ):
            return _chipped(chipped, owner)
        if owner is None or "name" not in values:
            raise Refused("no dog with this microchip is on record: name the dog and its owner")
        name = values["name"].casefold()
        own = self._of(self._dogs, {("owner", id(owner), name)})
        alike = [dog for dog in own if not _unlike(dog.values, values)]
        if alike:
            return _only(alike, "dogs")
        if own and not line.is_checked:
            other = " and ".join(BY_KEY[key].label for key in _unlike(own[0].values, values))
            raise Refused(f"{values['name']} of this owner is known with another {other}. {LOOK}")
        if "born" in values and not line.is_checked:
            twins = self._of(self._dogs, {("born", name, values["born"])})
            if others := [dog for dog in twins if dog.owner is not owner]:
                whose = others[0].owner.values["owner"]
                raise Refused(f"a dog of this name and birth date is known with {whose}. {LOOK}")
        return None

    @staticmethod
    def _of(index: dict, keys: Iterable[Hashable]) -> list:
        return list(dict.fromkeys(record for key in keys for record in index.get(key, ())))

    @staticmethod
    def _keys(owner: OwnerRecord, values: dict) -> list[Hashable]:
        name = values["name"].casefold()
        keys = [("owner", id(owner), name), ("born", name, values["born"])]
        return [*keys, ("chip", values["microchip"])] if values.get("microchip") else keys


def _only(records: list, what: str):
    if len(records) > 1:
        raise Refused(f"{len(records)} {what} on record fit this line: merge them, or tell more about it")
    return records[0]


def _chipped(dogs: list[DogRecord], owner: OwnerRecord | None) -> DogRecord:
    dog = _only(dogs, "dogs with this microchip")
    if owner not in (None, dog.owner):
        whose = dog.owner.values["owner"]
        raise Refused(
            f"this microchip is that of {dog.values['name']} of {whose}: check the owner or the number"
        )
    return dog


def _unlike(known: dict, told: dict) -> list[str]:
    """What keeps two dogs of one name apart."""
    estimated = known.get("born_is_estimate") or told.get("born_is_estimate")
    keys = ("sex",) if estimated else ("sex", "born")
    return [key for key in keys if key in told and told[key] != known[key]]
