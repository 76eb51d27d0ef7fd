"""What was said with an owner, and what is still to be done."""

from django.conf import settings
from django.db import models
from django.utils import timezone
from simple_history.models import HistoricalRecords

from patients.models.dogs import Patient
from patients.models.owners import Owner


class Contact(models.Model):
    """One talk, message or letter with an owner, about one dog or all of them."""

    class Kind(models.TextChoices):
        PHONE = "phone", "phone"
        EMAIL = "email", "e-mail"
        MESSAGE = "message", "message"
        IN_PERSON = "in_person", "in person"
        LETTER = "letter", "letter"

    owner = models.ForeignKey(Owner, models.CASCADE, related_name="contacts")
    patient = models.ForeignKey(Patient, models.CASCADE, null=True, blank=True, related_name="contacts")
    kind = models.CharField(max_length=10, choices=Kind, default=Kind.PHONE)
    at = models.DateTimeField(default=timezone.now)
    text = models.TextField("what was said", max_length=4000)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    history = HistoricalRecords()

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"{self.owner}, {self.get_kind_display()}"


class Task(models.Model):
    """Something to do for an owner; `due` empty: some time."""

    owner = models.ForeignKey(Owner, models.CASCADE, related_name="tasks")
    patient = models.ForeignKey(Patient, models.CASCADE, null=True, blank=True, related_name="tasks")
    text = models.CharField("what is to be done", max_length=300)
    due = models.DateField("by when", null=True, blank=True)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    done_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    done_at = models.DateTimeField(null=True, blank=True)
    history = HistoricalRecords()

    class Meta:
        ordering = [models.F("due").asc(nulls_last=True), "pk"]

    def __str__(self) -> str:
        return self.text

    @property
    def done(self) -> bool:
        return self.done_at is not None

    @property
    def overdue(self) -> bool:
        return not self.done and self.due is not None and self.due < timezone.localdate()
