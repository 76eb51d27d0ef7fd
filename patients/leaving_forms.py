"""Forms of a dog that leaves, comes back or goes to another owner."""

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.formats import date_format

from patients.forms import check_next_recheck
from patients.leaving import LONGEST_REASON
from patients.models import Patient, Task
from patients.weight_forms import DATE

ARCHIVED, DECEASED = Patient.Status.ARCHIVED, Patient.Status.DECEASED


def check_day(day, patient: Patient):
    """A day on which something happened to the dog."""
    if day > timezone.localdate():
        raise ValidationError("This day lies in the future.")
    if day < patient.born:
        raise ValidationError(
            f"{patient.name} was born on {date_format(patient.born, 'j F Y')}: check the day."
        )
    return day


class _DayForm(forms.Form):
    """Of a day not before the dog was born, today at first."""

    on = forms.DateField(widget=DATE)
    field_order = ("on",)

    def __init__(self, *args, patient: Patient, **options):
        self.patient = patient
        super().__init__(*args, initial={"on": timezone.localdate()} | options.pop("initial", {}), **options)

    def clean_on(self):
        return check_day(self.cleaned_data["on"], self.patient)


class LeaveForm(_DayForm):
    """For a death the day is asked, never assumed; and it lies on or after the last visit."""

    reason = forms.CharField(label="Why", max_length=LONGEST_REASON)
    closed_tasks = forms.ModelMultipleChoiceField(
        Task.objects.none(),
        required=False,
        label="Tasks that are no longer to be done",
        widget=forms.CheckboxSelectMultiple,
    )

    def __init__(self, *args, status: str, **options):
        super().__init__(*args, **options)
        tasks = Task.objects.filter(patient=self.patient, done_at__isnull=True)
        self.initial["closed_tasks"] = list(tasks)
        self.fields["closed_tasks"].queryset = tasks
        self.fields["on"].label = "Since"
        self.fields["reason"].help_text = "Such as: moved away; fed by the clinic now."
        if not tasks:
            del self.fields["closed_tasks"]
        if status == DECEASED:
            self.initial["on"] = None
            self.fields["on"].label = "Died on"
            self.fields["on"].help_text = "About when will do."
            self.fields["reason"].label = "What we were told"
            self.fields["reason"].required = False
            self.fields["reason"].help_text = "Kept in the record's history."

    def clean_on(self):
        day = super().clean_on()
        last = self.patient.visits.order_by("-date").first()
        if last and day < last.date:
            seen = date_format(last.date, "j F Y")
            raise ValidationError(f"The dog was still seen on {seen}: check the day, or mend that visit.")
        return day


class ComeBackForm(forms.Form):
    reason = forms.CharField(
        label="Why", max_length=LONGEST_REASON, help_text="Such as: comes again; archived by mistake."
    )
    next_recheck = forms.DateField(label="Next re-check", required=False, widget=DATE)

    def clean_next_recheck(self):
        return check_next_recheck(self.cleaned_data["next_recheck"])


class GiveOverForm(_DayForm):
    reason = forms.CharField(
        label="Why", max_length=LONGEST_REASON, help_text="Such as: rehomed; moved in with a daughter."
    )

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["on"].label = "Since"
