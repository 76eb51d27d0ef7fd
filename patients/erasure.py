"""Erases an owner with everything that belongs to them, but for what the practice keeps for some years.

What is kept: issued sheets as they are (the database refuses to change one), veterinarians' sign-offs and
recall calls with the person's words taken out, and the numbers of the plans under kept sheets. What these
hang on stays as a number without a name. Change histories all go, they hold what was erased.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db import connection, transaction
from django.db.models import Q, QuerySet

from patients.belongings import belongings, with_merged
from patients.intake_drafts import drafts_about
from patients.models import (
    BroughtFile,
    Contact,
    IssueRun,
    Owner,
    Patient,
    Plan,
    Recall,
    RecallCall,
    Sheet,
    SheetWithdrawal,
    SignOff,
    Task,
)
from patients.personal_words import TAKEN_OUT, parts_of, without

OF_THE_OWNER = (Contact, Task)  # said with one person, whosever the dog is later


@dataclass(frozen=True)
class Keeping:
    """years: the practice's setting; since: the day from which they are counted."""

    model: type
    years: str
    since: str
    how: str


KEEPINGS = (
    Keeping(Sheet, "sheets_kept_years", "issued_at__date", "as they were issued, with the names in them"),
    Keeping(SignOff, "sign_offs_kept_years", "recorded_at__date",
            "without names; a letter that was uploaded stays as it is, with the names in it"),
    Keeping(RecallCall, "recall_calls_kept_years", "recall__created_at__date", "without names"),
)  # fmt: skip


@dataclass(frozen=True)
class Line:
    """How many records of a kind go and stay, and why they stay."""

    what: str
    goes: int
    stays: int
    why: str = ""


class Subject:
    """An owner whose data are erased, with the records merged into theirs and all their dogs."""

    def __init__(self, owner: Owner, practice, on: date, sheets_before: Iterable[int] = ()):
        """sheets_before: kept by an earlier erasure, of dogs that are somebody else's."""
        self.owner, self.practice, self.on = owner, practice, on
        self.owners = [each.pk for each in with_merged(owner)]
        dogs = Patient.objects.filter(owner__in=self.owners)
        self.dogs = list({each.pk for dog in dogs for each in with_merged(dog)})
        self.sheets_before = [*sheets_before, *self._sheets_before()]

    def all_of(self, model: type) -> QuerySet:
        """Everything of a kind, live."""
        if model is Sheet:
            return Sheet.objects.filter(Q(patient__in=self.dogs) | Q(pk__in=self.sheets_before))
        if model in OF_THE_OWNER:
            return model.objects.filter(owner__in=self.owners)
        way = next(each.path for each in belongings(Patient) if each.model is model)
        return model.objects.filter(**{f"{way}__in": self.dogs})

    def kept(self, model: type) -> QuerySet:
        """What of it the practice keeps still."""
        found = self.all_of(model)
        if model is Plan:
            return found.filter(pk__in=self.kept(Sheet).values("plan"))
        for keeping in KEEPINGS:
            if keeping.model is model:
                return found.filter(**{f"{keeping.since}__gt": years_before(self.on, self._years(keeping))})
        if model is SheetWithdrawal:
            return found.filter(sheet__in=self.kept(Sheet))
        for belonging in belongings(SignOff):
            if belonging.model is model:
                return found.filter(sign_off__in=self.kept(SignOff))
        return found.none()

    def kept_sheets_of_others(self) -> QuerySet:
        """Issued to this owner, of dogs that are somebody else's now."""
        return self.kept(Sheet).exclude(patient__in=self.dogs).values_list("pk", flat=True)

    def kept_dogs(self) -> set[int]:
        kept = [self.kept(keeping.model).values_list("patient", flat=True) for keeping in KEEPINGS]
        return {dog for dogs in kept for dog in dogs} & set(self.dogs)

    @property
    def is_kept(self) -> bool:
        return any(self.kept(keeping.model).exists() for keeping in KEEPINGS)

    def names(self) -> set[str]:
        """Of the owner and the second person, now and before."""
        return self._told("name", "second_name")

    def drafts(self) -> QuerySet:
        return drafts_about(self.owner, self.names() | self._told("phone", "second_phone", "email"))

    def words(self) -> set[str]:
        """By which the owner, the second person and the dogs are known."""
        dogs = Patient.history.filter(id__in=self.dogs).values_list("name", "microchip")
        now = Patient.objects.filter(pk__in=self.dogs).values_list("name", "microchip")
        reached = self._told("phone", "second_phone", "email", "address")
        return parts_of(self.names()) | reached | {word for dog in (*dogs, *now) for word in dog if word}

    def _told(self, *fields: str) -> set[str]:
        now = Owner.objects.filter(pk__in=self.owners).values_list(*fields)
        past = Owner.history.filter(id__in=self.owners).values_list(*fields)
        return {value for row in (*now, *past) for value in row if value}

    def _sheets_before(self) -> Iterable[int]:
        """Of dogs that went to somebody else, those that were issued to this owner."""
        theirs = Patient.history.filter(owner__in=self.owners).values("id")
        return Sheet.objects.filter(patient__in=theirs, record__dog__owner__in=self.names()).values_list(
            "pk", flat=True
        )

    def _years(self, keeping: Keeping) -> int:
        return getattr(self.practice, keeping.years)


def undecided(practice) -> bool:
    """The practice has not said yet how long it keeps something."""
    return any(getattr(practice, keeping.years) is None for keeping in KEEPINGS)


def years_before(day: date, years: int) -> date:
    """The same day so many years ago; 1 March for a 29 February that was not."""
    try:
        return day.replace(year=day.year - years)
    except ValueError:
        return date(day.year - years, 3, 1)


def lines_of(subject: Subject) -> list[Line]:
    """What goes and what stays, kind by kind; kinds of which there is nothing are left out."""
    kept_dogs, stays, drafts = len(subject.kept_dogs()), int(subject.is_kept), subject.drafts().count()
    number = "as a number without a name: what is kept hangs on it"
    lines = [
        Line("owner", 1 - stays, stays, number if stays else ""),
        Line("dogs", len(subject.dogs) - kept_dogs, kept_dogs, number if kept_dogs else ""),
        Line("intakes begun and not finished", drafts, 0),
    ]
    why = {Plan: "the numbers only: a kept sheet rests on its plan"}
    for each in KEEPINGS:
        years = getattr(subject.practice, each.years)
        why[each.model] = f"for {years} year{'' if years == 1 else 's'}, {each.how}"
    for belonging in belongings(Patient):
        stays = subject.kept(belonging.model).count()
        goes = subject.all_of(belonging.model).count() - stays
        told = why.get(belonging.model, "with its sign-off") if stays else ""
        lines.append(Line(belonging.words, goes, stays, told))
    lines.append(Line("past states of all of them", sum(rows.count() for rows in _histories(subject)), 0))
    return [line for line in lines if line.goes or line.stays]


@transaction.atomic
def erase(subject: Subject) -> None:
    """Done again later, it takes away what is kept no longer."""
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA secure_delete = ON")  # else the bytes stay in the file's free pages
    words, kept_dogs, is_kept = subject.words(), subject.kept_dogs(), subject.is_kept
    subject.drafts().delete()
    for model in (BroughtFile, IssueRun):  # what they tell may name anybody
        model.objects.all().delete()
    past = _histories(subject)
    _detach(subject)
    for model in _in_order():
        kept = list(subject.kept(model).values_list("pk", flat=True))
        subject.all_of(model).exclude(pk__in=kept).delete()
    _take_words_out(subject, words)
    _nameless_recalls(subject)
    Patient.objects.filter(pk__in=subject.dogs).exclude(pk__in=kept_dogs).delete()
    _nameless_dogs(subject, kept_dogs)
    _nameless_owner(subject, is_kept)
    for rows in past:
        rows.delete()


def _in_order() -> list[type]:
    """The kinds of records, those that hold others fast first."""
    first = [RecallCall, Sheet, *OF_THE_OWNER]
    return first + [each.model for each in belongings(Patient) if each.model not in first]


def _histories(subject: Subject) -> list[QuerySet]:
    """The past states, to be deleted after what they tell of: a deletion writes one more."""
    dogs = Q(id__in=subject.dogs) | Q(owner__in=subject.owners)
    found = [Owner.history.filter(id__in=subject.owners), Patient.history.filter(dogs)]
    for belonging in belongings(Patient):
        if belonging.past:
            live = list(subject.all_of(belonging.model).values_list("pk", flat=True))
            owned = belonging.model in OF_THE_OWNER
            way = {"owner__in": subject.owners} if owned else {f"{belonging.path}__in": subject.dogs}
            found.append(belonging.past.objects.filter(Q(**way) | Q(id__in=live)))
    return found


def _detach(subject: Subject) -> None:
    """Ties that would hold a record fast, or carry off what belongs to somebody else."""
    going = subject.all_of(Sheet).exclude(pk__in=subject.kept(Sheet).values("pk"))
    RecallCall.objects.filter(sheet__in=list(going)).update(sheet=None)
    for model in OF_THE_OWNER:
        model.objects.filter(patient__in=subject.dogs).exclude(owner__in=subject.owners).update(patient=None)
    Patient.objects.filter(merged_into__in=subject.dogs).update(merged_into=None)
    Owner.objects.filter(merged_into__in=subject.owners).update(merged_into=None)


def _take_words_out(subject: Subject, words: set[str]) -> None:
    """Of what is kept and can be changed. By `update`, which writes no past state."""
    subject.kept(Plan).update(note="", energy_reason="")
    for model, fields in (
        (Plan, ["method"]),
        (SignOff, ["agreed", "withdrawn_reason"]),
        (RecallCall, ["note"]),
        (SheetWithdrawal, ["reason"]),
    ):
        for record in subject.kept(model):
            model.objects.filter(pk=record.pk).update(
                **{field: without(getattr(record, field), words) for field in fields}
            )


def _nameless_recalls(subject: Subject) -> None:
    for recall in Recall.objects.all():
        rows = [row for kind in ("plans", "sheets") for row in recall.touched.get(kind, [])]
        theirs = [row for row in rows if row["patient"] in subject.dogs]
        for row in theirs:
            row["label"], row["note"] = TAKEN_OUT, ""
        if theirs:
            Recall.objects.filter(pk=recall.pk).update(touched=recall.touched)


def _nameless_dogs(subject: Subject, kept: set[int]) -> None:
    """What is kept hangs on dogs and an owner of whom only the number is left."""
    for dog in Patient.objects.filter(pk__in=kept):
        blank = Patient(
            pk=dog.pk, owner_id=subject.owner.pk, name=f"Erased dog {dog.pk}", breed=TAKEN_OUT, sex=dog.sex,
            neutered=dog.neutered, born=date(dog.born.year, 1, 1), born_is_estimate=True,
            status=Patient.Status.ARCHIVED, left_on=subject.on,
        )  # fmt: skip
        _overwrite(blank)


def _nameless_owner(subject: Subject, kept: bool) -> None:
    Owner.objects.filter(pk__in=subject.owners).exclude(pk=subject.owner.pk).delete()
    if kept:
        _overwrite(Owner(pk=subject.owner.pk, name=f"Erased owner {subject.owner.pk}"))
    else:
        Owner.objects.filter(pk=subject.owner.pk).delete()


def _overwrite(record: Owner | Patient) -> None:
    fields = [field for field in record._meta.concrete_fields if not field.primary_key]
    values = {field.attname: getattr(record, field.attname) for field in fields}
    type(record).objects.filter(pk=record.pk).update(**values)
