"""The lines of a file held against what is on record: what is new, here already, or asked about. Pure.

What cannot be right is told by its line and left out; what may be right is asked, and brought in once the
line says that somebody has looked at it.
"""

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date

from patients.bring_in.columns import BY_KEY, DOG, NEEDED, OWNER, WEIGH_IN
from patients.bring_in.lines import Line
from patients.bring_in.records import LOOK, DogRecord, OwnerRecord, Records, Refused
from patients.dog_checks import outgrown
from patients.life_stage import life_stage
from patients.sentences import in_kg
from patients.usual_weights import usual_weight
from patients.weight_questions import KnownWeights, Typed

SAME_KG = 0.005  # two weights that are written alike to the hundredth


@dataclass(frozen=True)
class BroughtWeight:
    dog: DogRecord
    values: dict


@dataclass
class Found:
    """owners, dogs: those to be taken on; here: dogs of the file that are on record already; same: weigh-ins
    that are; wrong: line -> what is told about it.
    """

    owners: list[OwnerRecord] = field(default_factory=list)
    dogs: list[DogRecord] = field(default_factory=list)
    weigh_ins: list[BroughtWeight] = field(default_factory=list)
    here: set[int] = field(default_factory=set)
    same: int = 0
    wrong: dict[int, str] = field(default_factory=dict)


def match(lines: Sequence[Line], records: Records, today: date, faults: Callable[[Line], list[str]]) -> Found:
    """faults: what is wrong with the values of a line by the rules of the records that they would become.

    The weigh-ins of a dog are judged in the order of their days, in whatever order they stand in the file.
    """
    found, weighed = Found(), defaultdict(list)
    for line in lines:
        try:
            if wrong := [*line.wrong, *faults(line)]:
                raise Refused("; ".join(wrong))
            dog = _dog(line, records, found)
            if line.part(WEIGH_IN):
                weighed[dog].append(line)
        except Refused as reason:
            found.wrong[line.number] = _sentence(reason)
    for dog, of_it in weighed.items():
        for line in sorted(of_it, key=lambda line: line.values.get("date", today)):
            try:
                _weigh(dog, line, today, found)
            except Refused as reason:
                found.wrong[line.number] = _sentence(reason)
    return found


def _dog(line: Line, records: Records, found: Found) -> DogRecord:
    """The dog of a line, on record or taken on with its owner."""
    owner = records.owner(line) if "owner" in line.values else None
    dog = records.dog(owner, line)
    if dog is None:
        return _new_dog(owner, line, records, found)
    for record, group in ((dog.owner, OWNER), (dog, DOG)):
        _fill_in(record, line.part(group))
    records.add_owner(dog.owner)
    records.add_dog(dog)
    if dog.pk is not None:
        found.here.add(dog.pk)
    return dog


def _new_dog(owner: OwnerRecord, line: Line, records: Records, found: Found) -> DogRecord:
    if missing := [BY_KEY[key].label for key in NEEDED if key not in line.values]:
        name = line.values.get("name", "The dog")
        raise Refused(f"{name} is not on record: to be taken on it also needs {', '.join(missing)}")
    if owner.pk is None:
        _fill_in(owner, line.part(OWNER))
    dog = DogRecord(owner, line.part(DOG), line=line.number)
    if owner.pk is None and owner not in found.owners:
        found.owners.append(owner)
    records.add_owner(owner)
    records.add_dog(dog)
    found.dogs.append(dog)
    return dog


def _fill_in(record: OwnerRecord | DogRecord, told: dict) -> None:
    """What a later line says of somebody whom the file brings; records that are here stay as they are."""
    if record.pk is not None:
        return
    for key, value in told.items():
        if _folded(record.values.get(key, value)) != _folded(value):
            raise Refused(f"{BY_KEY[key].label}: another one than in line {record.line}: make both the same")
    record.values.update(told)


def _folded(value: object) -> object:
    """Small and capital letters make no other name."""
    return value.casefold() if isinstance(value, str) else value


def _weigh(dog: DogRecord, line: Line, today: date, found: Found) -> None:
    day, kg = _day_and_kg(dog, line, today)
    if day in dog.weights:
        if abs(dog.weights[day] - kg) > SAME_KG:
            raise Refused(f"{in_kg(dog.weights[day])} is on record for that day already: keep one of them")
        found.same += 1
        return
    if not line.is_checked and (asked := _doubt(dog, day, kg, line.values.get("unit", "kg"))):
        raise Refused(f"{asked} {LOOK}")
    dog.weights[day] = kg
    found.weigh_ins.append(BroughtWeight(dog, line.values))


def _day_and_kg(dog: DogRecord, line: Line, today: date) -> tuple[date, float]:
    if not {"date", "weight"} <= line.values.keys():
        raise Refused("a weigh-in needs its day and the weight")
    if dog.closed:
        raise Refused(dog.closed)
    day = line.values["date"]
    if day > today:
        raise Refused("the day of the weigh-in lies in the future")
    if day < dog.values["born"]:
        raise Refused("the day of the weigh-in lies before the birth")
    return day, line.values["weight"]


def _doubt(dog: DogRecord, day: date, kg: float, unit: str) -> str:
    """Against its other weigh-ins, what is usual for it, and what a puppy is expected to weigh grown."""
    born, adult_kg = dog.values["born"], dog.values.get("expected_adult_kg")
    known = KnownWeights(
        dog.counted(),
        growing_on=lambda on: life_stage(born, on, adult_kg).growing,
        born=born,
        usual=usual_weight(dog.values["breed"], adult_kg),
    )
    return known.doubt(Typed(day, kg, unit)) or outgrown(born, adult_kg, day, kg)


def _sentence(reason: Refused) -> str:
    text = str(reason)
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."
