"""Everything about an owner and their dogs as one folder in a zip file, made to be handed to the owner.

Left out: who of the practice wrote a thing, how it was written before, and what belongs to other people.
"""

import json
import zipfile
from collections.abc import Iterator
from datetime import date, datetime
from hashlib import file_digest
from tempfile import TemporaryFile
from typing import IO

from django.contrib.auth.models import AbstractUser
from django.db import models, transaction
from django.db.models import Min, QuerySet
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.text import slugify

from nutrients.csv_text import csv_lines
from patients.belongings import belongings, with_merged
from patients.erasure import OF_THE_OWNER
from patients.letter_files import ENDINGS
from patients.letter_queries import letter_record
from patients.models import (
    IntakeDraft,
    Owner,
    OwnerExport,
    Patient,
    Photo,
    RecallCall,
    Sheet,
    SignOffLetter,
    Visit,
)
from recipes.printing import PdfUnavailable, printed

FILES = (IntakeDraft, Photo, Sheet, SignOffLetter)  # handed out as files; of drafts nothing is left
WRITTEN_DOWN = ("notes", "questions")  # of a visit: may be about whoever had the dog then
HOW_IT_IS_KEPT = {"id", "merged_into", "supersedes", "recall"}


@transaction.atomic
def export_owner(*, owner: Owner, by: AbstractUser, practice) -> IO[bytes]:
    """A file at its beginning. That it was made is recorded, with its checksum."""
    file = TemporaryFile()  # noqa: SIM115 - the answer closes it
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as folder:
        _Folder(folder, owner, by, practice).fill()
    file.seek(0)
    OwnerExport.objects.create(
        owner_number=owner.pk, made_by=by, sha256=file_digest(file, "sha256").hexdigest()
    )
    file.seek(0)
    return file


def folder_name(owner: Owner, on: date) -> str:
    return f"{slugify(owner.name)[:40] or 'owner'}-{on.isoformat()}"


class _Folder:
    """missing: sentences about what could not be put in."""

    def __init__(self, folder: zipfile.ZipFile, owner: Owner, by: AbstractUser, practice):
        self.folder, self.owner, self.by, self.practice = folder, owner, by, practice
        self.on = timezone.localdate()
        self.owners = with_merged(owner)
        self.dogs = Patient.objects.filter(owner__in=self.owners).order_by("name", "pk")
        self.missing: list[str] = []
        self.since = _owned_since(self.dogs, self.owners)

    def fill(self) -> None:
        record, tables = {"owner": [], "dogs": []}, {}
        kinds = {"owner": Owner.objects.filter(pk__in=[each.pk for each in self.owners]), "dogs": self.dogs}
        for belonging in belongings(Patient):
            if belonging.model not in FILES:
                kinds[belonging.words] = self._of(belonging)
        for words, rows in kinds.items():
            record[words] = [self._told(row) for row in rows.iterator()]
            tables[words] = self._table(words, rows.model, record[words])
        self._write("record.json", json.dumps(record, ensure_ascii=False, indent=2, default=_plain))
        files = [*self._sheets(), *self._letters(), *self._sign_off_letters(), *self._photos()]
        context = {"owner": self.owner, "on": self.on, "practice": self.practice, "dogs": list(self.dogs)}
        context |= {"tables": tables, "files": files, "missing": self.missing}
        self._write("README.txt", render_to_string("patients/owner_export.txt", context))

    def _of(self, belonging) -> QuerySet:
        if belonging.model in OF_THE_OWNER:
            return belonging.model.objects.filter(owner__in=self.owners)
        rows = belonging.model.objects.filter(**{f"{belonging.path}__in": self.dogs})
        if belonging.model is RecallCall:
            rows = rows.select_related("recall")
        return rows

    def _told(self, row: models.Model) -> dict:
        told = {}
        for field in _fields(type(row)):
            value = getattr(row, field.name)
            if field.is_relation:
                value = None if value is None else str(value)
            elif field.choices:
                value = getattr(row, f"get_{field.name}_display")() or None
            told[_words(field)] = None if value == "" else value
        if isinstance(row, RecallCall):
            told["what was corrected"] = row.recall.what
        if isinstance(row, Visit) and row.date < self.since.get(row.patient_id, row.date):
            told |= dict.fromkeys(WRITTEN_DOWN)
            self._miss("What was written at visits before a dog was yours, as it may be about somebody else.")
        return told

    def _table(self, words: str, model: type, rows: list[dict]) -> tuple[str, int]:
        """Its file's name and how many rows it has."""
        name = f"{slugify(words)}.csv"
        header = list(rows[0]) if rows else [_words(field) for field in _fields(model)]
        lines = csv_lines(header, ([_plain(cell) for cell in row.values()] for row in rows))
        self._write(name, "\ufeff" + "".join(lines))
        return name, len(rows)

    def _sheets(self) -> Iterator[str]:
        names = {name for one in self.owners for name in one.history.values_list("name", flat=True)}
        names |= {one.name for one in self.owners}
        for sheet in Sheet.objects.filter(patient__in=self.dogs).select_related("patient").iterator(1):
            if sheet.record.get("dog", {}).get("owner") in names:
                yield self._write(f"sheets/{_dog(sheet.patient)}-sheet-{sheet.number}.pdf", bytes(sheet.pdf))
            else:
                self._miss("Take-home sheets that were issued to somebody else who had a dog before you.")

    def _letters(self) -> Iterator[str]:
        for dog in self.dogs:
            letter = letter_record(dog, by=self.by, practice=self.practice)
            try:
                document = printed("patients/letter_print.html", {"letter": letter})
            except PdfUnavailable:
                self._miss("Letters to the veterinarian: this computer cannot print them.")
                return
            yield self._write(f"letters/{_dog(dog)}-letter-{self.on}.pdf", document)

    def _sign_off_letters(self) -> Iterator[str]:
        letters = SignOffLetter.objects.filter(sign_off__patient__in=self.dogs)
        for letter in letters.select_related("sign_off__patient").iterator(1):
            dog, agreed = _dog(letter.sign_off.patient), letter.sign_off.agreed_on
            name = f"sign-off-letters/{dog}-{agreed}-{letter.pk}.{ENDINGS[letter.kind]}"
            yield self._write(name, bytes(letter.content))

    def _photos(self) -> Iterator[str]:
        for photo in Photo.objects.filter(patient__in=self.dogs).select_related("patient").iterator(1):
            yield self._write(f"photos/{_dog(photo.patient)}.jpg", bytes(photo.jpeg))

    def _miss(self, sentence: str) -> None:
        if sentence not in self.missing:
            self.missing.append(sentence)

    def _write(self, name: str, content: str | bytes) -> str:
        self.folder.writestr(f"{folder_name(self.owner, self.on)}/{name}", content)
        return name


def _owned_since(dogs: QuerySet, owners: list[Owner]) -> dict[int, date]:
    """Dog -> the day it came to the owner from somebody else; dogs that were always theirs are not in it."""
    theirs = Patient.history.filter(id__in=dogs.values("pk"))
    others = set(theirs.exclude(owner__in=owners).values_list("id", flat=True))
    first = (
        theirs.filter(id__in=others, owner__in=owners).order_by().values("id").annotate(Min("history_date"))
    )
    return {row["id"]: timezone.localdate(row["history_date__min"]) for row in first}


def _fields(model: type) -> list[models.Field]:
    """What is told of a record: nothing of how it is kept, nor of who in the practice wrote it."""
    return [
        field
        for field in model._meta.concrete_fields
        if field.name not in HOW_IT_IS_KEPT
        and not isinstance(field, models.BinaryField)
        and not (
            field.is_relation
            and (field.related_model._meta.label == "auth.User" or field.related_model is Sheet)
        )
    ]


def _words(field: models.Field) -> str:
    return str(field.verbose_name)


def _plain(value: object) -> object:
    """Moments as the practice's clock showed them."""
    if isinstance(value, datetime):
        return timezone.localtime(value).strftime("%Y-%m-%d %H:%M")
    return value.isoformat() if isinstance(value, date) else value


def _dog(dog: Patient) -> str:
    """Two dogs of one name are kept apart."""
    return f"{slugify(dog.name) or 'dog'}-{dog.pk}"
