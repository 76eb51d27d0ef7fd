"""What merging two records of one dog, or of one owner, would do: what differs, what moves, what stays.

What belongs to the other record moves to the kept one. Sheets never change: they stay, and so does whatever
the kept record can have only once; all of it is read on the kept record's page.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from hashlib import sha256
from textwrap import shorten

from django.db import models
from django.forms import model_to_dict
from django.utils.formats import date_format

from patients.belongings import Belonging, belongings
from patients.models import (
    Contact,
    HomeWeighIn,
    Owner,
    Patient,
    Photo,
    Plan,
    RecallCall,
    Sheet,
    SignOff,
    Visit,
)
from patients.sentences import in_kg

KEPT, OTHER, BOTH = "kept", "other", "both"
APART = {"id", "merged_into"}  # what makes a record itself
TOGETHER = {  # fields that say one thing only together
    Patient: (
        ("born", "born_is_estimate"),
        ("neutered", "neutered_on"),
        ("expected_adult_kg", "expected_adult_from"),
        ("status", "left_on"),
        ("mated_on", "whelped_on", "litter"),
        ("stage_by_hand", "stage_reason"),
        ("veterinarian", "clinic"),
    ),
    Owner: (("reach", "reach_note"),),
}
LONGEST_TOLD = 80  # of what was said, in a list
Record = Patient | Owner


@dataclass(frozen=True)
class Difference:
    """Fields in which two records differ. can_join: both texts can stand, one after the other.

    one_sided: one of the two says nothing.
    """

    names: tuple[str, ...]
    label: str
    kept: str
    other: str
    at_first: str
    can_join: bool
    one_sided: bool

    @property
    def key(self) -> str:
        return f"field-{self.names[0]}"


@dataclass(frozen=True)
class Clash:
    """A belonging of each, of which one record can have only one."""

    path: str
    kept: models.Model
    other: models.Model

    @property
    def key(self) -> str:
        return f"{type(self.kept)._meta.model_name}-{self.kept.pk}-{self.other.pk}"

    @property
    def label(self) -> str:
        return str(type(self.kept)._meta.verbose_name).capitalize()


@dataclass(frozen=True)
class Preview:
    """Of merging `other` into `kept`, two records of one model."""

    kept: Record
    other: Record

    @cached_property
    def differences(self) -> list[Difference]:
        return [
            found
            for names in fields_asked(type(self.kept))
            if (found := _difference(names, self.kept, self.other))
        ]

    @cached_property
    def clashes(self) -> list[Clash]:
        return [clash for each in self._movable for clash in _clashes(each, self.kept, self.other)]

    @cached_property
    def told_twice(self) -> list[models.Model]:
        """Of the other record, and the same in every word in the kept one."""
        leaves = [each for each in self._movable if not belongings(each.model)]
        return [row for each in leaves for row in _told_twice(each, self.kept, self.other)]

    @cached_property
    def sheets(self) -> list[Sheet]:
        if not isinstance(self.other, Patient):
            return []
        return list(self.other.sheets.defer("pdf", "record"))

    @cached_property
    def moving(self) -> list[tuple[Belonging, list[models.Model]]]:
        staying = {
            (type(row), row.pk) for row in (*self.told_twice, *(clash.other for clash in self.clashes))
        }
        found = []
        for each in self._movable:
            rows = [row for row in _rows(each, self.other) if (type(row), row.pk) not in staying]
            if rows:
                found.append((each, rows))
        return found

    @cached_property
    def fed(self) -> tuple[Plan, Plan] | None:
        """The plans that both are fed by, of which one must end."""
        if not isinstance(self.kept, Patient):
            return None
        plans = [each.plans.filter(state=Plan.State.ISSUED).first() for each in (self.kept, self.other)]
        return tuple(plans) if all(plans) else None

    @property
    def state(self) -> str:
        """Another one once anything was changed that the preview tells of."""
        parts = [model_to_dict(self.kept), model_to_dict(self.other), [clash.key for clash in self.clashes]]
        parts += [[row.pk for row in rows] for _, rows in self.moving]
        parts += [[plan.pk for plan in self.fed or ()]]
        return sha256(repr(parts).encode()).hexdigest()

    @property
    def _movable(self) -> list[Belonging]:
        return [each for each in belongings(type(self.kept)) if each.is_direct and each.model is not Sheet]


def _rows(belonging: Belonging, record: Record) -> models.QuerySet:
    return belonging.model._default_manager.filter(**{belonging.path: record}).order_by("pk")


def fields_asked(model: type[models.Model]) -> list[tuple[str, ...]]:
    """The model's fields, those that belong together as one."""
    first = {names[0]: names for names in TOGETHER[model]}
    later = {name for names in TOGETHER[model] for name in names[1:]}
    single = [field.name for field in model._meta.concrete_fields if field.name not in APART | later]
    return [first.get(name, (name,)) for name in single]


def _difference(names: tuple[str, ...], kept: Record, other: Record) -> Difference | None:
    ours, theirs = ([getattr(each, name) for name in names] for each in (kept, other))
    if ours == theirs:
        return None
    field = type(kept)._meta.get_field(names[0])
    return Difference(
        names=names,
        label=str(field.verbose_name).capitalize(),
        kept=_told(kept, names),
        other=_told(other, names),
        at_first=KEPT if _says(ours) or not _says(theirs) else OTHER,
        can_join=isinstance(field, models.TextField) and bool(ours[0] and theirs[0]),
        one_sided=not (_says(ours) and _says(theirs)),
    )


def _says(values: Iterable) -> bool:
    return any(value not in (None, "", False) for value in values)


def _told(record: Record, names: tuple[str, ...]) -> str:
    told = []
    for position, name in enumerate(names):
        field, value = record._meta.get_field(name), getattr(record, name)
        if value in (None, "") or (position and value is False):
            continue
        prefix = f"{field.verbose_name}: " if position else ""
        told.append(f"{prefix}{_in_words(record, field, value)}")
    return "; ".join(told) or "not told"


def _in_words(record: Record, field: models.Field, value) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, date):
        return date_format(value, "j F Y")
    return str(getattr(record, f"get_{field.name}_display")() if field.choices else value)


def _clashes(belonging: Belonging, kept: Record, other: Record) -> list[Clash]:
    found = {}
    for fields, condition in _once(belonging):
        mine = {
            tuple(getattr(row, name) for name in fields): row
            for row in _rows(belonging, kept).filter(condition)
        }
        for row in _rows(belonging, other).filter(condition):
            if rival := mine.get(tuple(getattr(row, name) for name in fields)):
                found[row.pk] = Clash(belonging.path, rival, row)
    return list(found.values())


def _once(belonging: Belonging) -> list[tuple[list[str], models.Q]]:
    """By what else a record can have only one of these, and under what condition."""
    if belonging.model._meta.get_field(belonging.path).one_to_one:
        return [([], models.Q())]
    return [
        ([name for name in constraint.fields if name != belonging.path], constraint.condition or models.Q())
        for constraint in belonging.model._meta.constraints
        if isinstance(constraint, models.UniqueConstraint) and belonging.path in constraint.fields
    ]


def _told_twice(belonging: Belonging, kept: Record, other: Record) -> list[models.Model]:
    names = [
        field.attname
        for field in belonging.model._meta.concrete_fields
        if not field.primary_key and field.name != belonging.path
    ]
    if _once(belonging) or not names:
        return []
    mine = [[getattr(row, name) for name in names] for row in _rows(belonging, kept)]
    return [row for row in _rows(belonging, other) if [getattr(row, name) for name in names] in mine]


def in_words(row: models.Model) -> str:
    """A belonging as a line of a list of its kind."""
    match row:
        case Visit():
            day = date_format(row.date, "j F Y")
            return f"{row.get_kind_display().capitalize()} of {day}: {in_kg(row.weight_kg)}, BCS {row.bcs}"
        case HomeWeighIn():
            return f"At home on {date_format(row.date, 'j F Y')}: {in_kg(row.weight_kg)}"
        case SignOff():
            return f"{row}, agreed on {date_format(row.agreed_on, 'j F Y')}"
        case RecallCall():
            return f"{row.recall}: {row.get_status_display()}"
        case Sheet():
            return f"Sheet {row.number}, issued on {date_format(row.issued_at, 'j F Y')}"
        case Photo():
            return "Photo"
        case Patient():
            return f"{row.name}, {row.breed}"
        case Plan():
            begun = date_format(row.created_at, "j F Y")
            return f"{row.recipe_version}, {row.kcal_per_day:,.0f} kcal a day, made on {begun}"
        case Contact():
            text = shorten(row.text, LONGEST_TOLD, placeholder="…")
            return f"{row.get_kind_display()} on {date_format(row.at, 'j F Y')}: {text}"
    return str(row)
