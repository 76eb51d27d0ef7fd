"""Forms of dogs and visits. What was typed is kept; weights are handed on in kg."""

import re
from collections.abc import Callable
from copy import copy
from datetime import date, timedelta

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.formats import date_format

from patients.dog_checks import birth_problem, outgrown
from patients.fields import AgeField, LinesField, LitresField, NameField, WeightField, YesNoField
from patients.models import Condition, Patient, Visit
from patients.models.dogs import LARGEST_COOKER_LITRES, SMALLEST_COOKER_LITRES
from patients.reproduction import condition_problem, reproduction_problems
from patients.weight_forms import DATE, AsksAboutWeight

FURTHEST_RECHECK = timedelta(days=2 * 365)  # common practice, no source: a later day is a slip of the year
FAECES = (
    ("", "not told"), (1, "1: hard, dry pieces"), (2, "2: firm, holds its shape"),
    (3, "3: formed, slightly moist"), (4, "4: moist, loses its shape"), (5, "5: very moist, no shape"),
    (6, "6: soft heaps, some texture"), (7, "7: watery"),
)  # fmt: skip


def check_next_recheck(day: date | None) -> date | None:
    """Raise ValidationError unless the day lies ahead, and not years ahead."""
    today = timezone.localdate()
    if day and day <= today:
        raise ValidationError("The next re-check must lie in the future.")
    if day and day > today + FURTHEST_RECHECK:
        raise ValidationError("This re-check lies more than two years ahead: check the year.")
    return day


class PatientForm(forms.ModelForm):
    about_age = AgeField(label="Or about how old", required=False)
    expected_adult_kg = WeightField(
        label="Expected adult weight",
        required=False,
        help_text="For a growing dog. Left empty it is judged as a large breed.",
    )
    conditions = LinesField(
        longest=120,
        label="Medical conditions",
        help_text="One per line, as diagnosed by the veterinarian.",
    )
    microchip = forms.CharField(label="Microchip", required=False, max_length=30)
    cooker_litres = LitresField(
        label="Slow cooker",
        required=False,
        low=SMALLEST_COOKER_LITRES,
        high=LARGEST_COOKER_LITRES,
        help_text="Its size as printed on it; empty when there is none.",
    )
    has_oven = YesNoField(label="Oven")
    has_pan = YesNoField(label="Large pan or pot")
    weighs_in_grams = YesNoField(label="Can weigh in grams", help_text="A kitchen scale that shows grams.")

    class Meta:
        model = Patient
        fields = (
            "name", "breed", "sex", "neutered", "neutered_on", "born", "born_is_estimate",
            "expected_adult_kg", "expected_adult_from", "microchip", "environment", "veterinarian", "clinic",
            "conditions", "medical_notes", "diet_history", "likes_food", "cooker_litres", "has_oven",
            "has_pan", "freezer", "weighs_in_grams", "owner_goals", "next_recheck",
        )  # fmt: skip
        widgets = {
            "born": DATE,
            "neutered_on": DATE,
            "next_recheck": DATE,
            "diet_history": forms.Textarea(attrs={"rows": 3}),
            "medical_notes": forms.Textarea(attrs={"rows": 3}),
            "environment": forms.Textarea(attrs={"rows": 2}),
            "owner_goals": forms.Textarea(attrs={"rows": 3}),
        }
        field_classes = {"name": NameField, "breed": NameField}
        labels = {
            "name": "Name of the dog",
            "expected_adult_from": "Estimated from",
            "diet_history": "What and how it is fed, in words",
        }
        help_texts = {
            "breed": "In your own words: a cross or a guess will do.",
            "neutered_on": "About when will do.",
            "environment": "House, garden, stairs; other animals and children; who feeds.",
            "diet_history": "Times, changes, who feeds, what was tried before.",
            "owner_goals": "In the owner's words.",
        }

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["sex"].choices = [
            ("", "choose"),
            *((sex.value, sex.label.lower()) for sex in Patient.Sex),
        ]
        if self.instance.pk:
            del self.fields["about_age"]
        else:
            self.fields["born"].required = False
            self.fields["born"].help_text = "Needed, or else about how old."
        for name in ("expected_adult_from", "freezer", "likes_food"):
            self.fields[name].choices = [("", "not told"), *self.fields[name].choices[1:]]
        if self.instance.pk:
            self.initial["conditions"] = "\n".join(map(str, self.instance.conditions.all()))

    def clean_born(self):
        born = self.cleaned_data["born"]
        if not born:
            return born
        if wrong := birth_problem(born, timezone.localdate()):
            raise ValidationError(wrong)
        first = self.instance.visits.order_by("date").first() if self.instance.pk else None
        if first and first.date < born:
            seen = date_format(first.date, "j F Y")
            raise ValidationError(f"The dog was already seen on {seen}, before this birth date.")
        return born

    def clean_next_recheck(self):
        day = self.cleaned_data["next_recheck"]
        if day and self.instance.why_not_fed:
            raise ValidationError(self.instance.why_not_fed)
        kept = self.instance.pk and "next_recheck" not in self.changed_data
        return day if kept else check_next_recheck(day)

    def clean_conditions(self):
        return [Condition(name=line) for line in self.cleaned_data["conditions"]]

    def clean_microchip(self):
        """As it is read off, in groups or not."""
        return re.sub(r"[\s.-]", "", self.cleaned_data["microchip"]).upper()

    def clean_neutered_on(self):
        day = self.cleaned_data["neutered_on"]
        if day and day > timezone.localdate():
            raise ValidationError("This day lies in the future.")
        if day and not self.cleaned_data.get("neutered"):
            raise ValidationError("Tick “neutered” too, or clear this day.")
        return day

    def clean(self):
        super().clean()
        if "about_age" in self.fields and not {"born", "about_age"} & set(self.errors):
            self._take_age()
        born, adult_kg = self.cleaned_data.get("born"), self.cleaned_data.get("expected_adult_kg")
        last = self.instance.visits.first() if self.instance.pk else None
        if last and born and (wrong := outgrown(born, adult_kg, last.date, last.weight_kg)):
            self.add_error("expected_adult_kg", wrong)
        neutered_on = self.cleaned_data.get("neutered_on")
        if born and neutered_on and neutered_on < born:
            self.add_error("neutered_on", "This day lies before the birth date: check both dates.")
        if {"sex", "neutered", "conditions"} & set(self.changed_data):
            self._check_conditions()
        if {"sex", "neutered"} & set(self.changed_data):
            self._check_reproduction()

    def _take_age(self) -> None:
        """The birth date, or one made from an age, which is an estimate."""
        born, made = self.cleaned_data["born"], self.cleaned_data["about_age"]
        if born and made:
            self.add_error("about_age", "Enter the birth date or an age, not both.")
        elif made and (wrong := birth_problem(made, timezone.localdate())):
            self.add_error("about_age", wrong)
        elif made:
            self.cleaned_data |= {"born": made, "born_is_estimate": True}
        elif not born:
            self.add_error("born", "Enter the birth date, or about how old the dog is.")

    def _check_conditions(self) -> None:
        found = self.cleaned_data
        dog = {
            "name": found.get("name", "The dog"),
            "sex": found.get("sex", ""),
            "neutered": found.get("neutered"),
        }
        problems = [condition_problem(each.name, **dog) for each in found.get("conditions", [])]
        if told := next(filter(None, problems), ""):
            self.add_error("conditions", told)

    def _check_reproduction(self) -> None:
        """What is on record of mating and whelping must go with the sex, and with being neutered."""
        dog = copy(self.instance)
        dog.sex, dog.neutered = self.cleaned_data.get("sex"), self.cleaned_data.get("neutered")
        problems = reproduction_problems(dog, timezone.localdate()) if dog.sex and dog.born else []
        for _, wrong in problems[:1]:
            self.add_error("sex" if dog.sex == Patient.Sex.MALE else "neutered", wrong)


class VisitForm(AsksAboutWeight, forms.ModelForm):
    weight_kg = WeightField(label="Weight")
    bcs = forms.IntegerField(
        label="Body condition score (BCS)",
        min_value=1,
        max_value=9,
        error_messages=dict.fromkeys(
            ("required", "invalid", "min_value", "max_value"),
            "A body condition score is a whole number from 1 to 9.",
        ),
        widget=forms.TextInput(attrs={"inputmode": "numeric", "class": "number"}),
    )
    faecal_score = forms.TypedChoiceField(
        choices=FAECES,
        coerce=int,
        empty_value=None,
        required=False,
        help_text="From 1, hard, to 7, watery. 2 or 3 is usual in a healthy dog.",
        error_messages={"invalid_choice": "A faecal score is a whole number from 1 (hard) to 7 (watery)."},
    )

    class Meta:
        model = Visit
        fields = (
            "kind", "date", "weight_kg", "left_out", "bcs", "mcs", "activity", "activity_minutes",
            "activity_kind", "appetite", "faecal_score", "notes",
        )  # fmt: skip
        labels = {"left_out": "Leave this weight out of the curve"}
        help_texts = {
            "activity_minutes": "All of a usual day together, off the lead and on it.",
            "activity_kind": "Such as walks on the lead, running free, agility, herding.",
        }
        widgets = {
            "date": DATE,
            "notes": forms.Textarea(attrs={"rows": 3}),
            "activity_minutes": forms.TextInput(attrs={"inputmode": "numeric", "class": "number"}),
        }
        error_messages = {"date": {"required": "Enter the day the dog was seen."}}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        for name in ("mcs", "appetite"):
            self.fields[name].choices = [(value, label.lower()) for value, label in self.fields[name].choices]
        self.fields["kind"].choices = [c for c in Visit.Kind.choices if c[0] != Visit.Kind.INTAKE]
        if self.instance.kind == Visit.Kind.INTAKE:
            del self.fields["kind"]
        if not self.instance.pk:
            del self.fields["left_out"]

    def clean(self):
        super().clean()
        visit, found = self.instance, self.cleaned_data
        if not visit.patient_id or "date" not in found:
            return
        dog, on = visit.patient, found["date"]
        kg = found.get("weight_kg", 0)
        self.ask_about_weight(visit, on)
        if wrong := outgrown(dog.born, dog.expected_adult_kg, on, found.get("weight_kg", kg)):
            self.add_error("weight_kg", wrong)
        kind = Visit.Kind(found.get("kind", visit.kind))
        if dog.visits.filter(date=on, kind=kind).exclude(pk=visit.pk).exists():
            day = date_format(on, "j F Y")
            self.add_error("date", f"There is already a visit of this kind ({kind.label}) on {day}: edit it.")


class Together:
    """Forms on one page that are valid only together. In the summary of errors they read like one form."""

    def __init__(self, *forms):
        self.forms = [part for form in forms for part in getattr(form, "forms", [form])]
        self.checked = forms
        self.refused: list[str] = []

    def __iter__(self):
        return (field for form in self.forms for field in form)

    def is_valid(self) -> bool:
        answers = [form.is_valid() for form in self.checked]  # every form is checked, not only up to a fault
        return all(answers)

    def saved(self, write: Callable, **what):
        """What `write` saved, or None when it was refused: another person may have written meanwhile."""
        try:
            return write(**what)
        except ValidationError as error:
            self.refused = error.messages
            return None

    @property
    def errors(self) -> list:
        return [form.errors for form in self.forms if form.errors] + self.refused

    def non_field_errors(self) -> list[str]:
        return [error for form in self.forms for error in form.non_field_errors()] + self.refused
