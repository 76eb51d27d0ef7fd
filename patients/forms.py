"""Forms of owners, dogs and visits. What was typed is kept; weights are handed on in kg."""

from collections.abc import Callable
from copy import copy
from datetime import date

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.formats import date_format

from nutrients.fields import NumberField
from nutrients.models import Food
from patients.energy import HIGHEST_KCAL
from patients.fields import LinesField, WeightField
from patients.life_stage import OLDEST_YEARS, age_in_months, life_stage
from patients.models import Avoid, Condition, DietItem, Owner, Patient, Visit
from patients.reproduction import reproduction_problems
from patients.sentences import in_kg
from patients.weight_forms import DATE, AsksAboutWeight

FAECES = (
    ("", "not told"), (1, "1: hard, dry pieces"), (2, "2: firm, holds its shape"),
    (3, "3: formed, slightly moist"), (4, "4: moist, loses its shape"), (5, "5: very moist, no shape"),
    (6, "6: soft heaps, some texture"), (7, "7: watery"),
)  # fmt: skip


def check_next_recheck(day: date | None) -> date | None:
    """Raise ValidationError unless the day lies ahead."""
    if day and day <= timezone.localdate():
        raise ValidationError("The next re-check must lie in the future.")
    return day


def outgrown(born: date, adult_kg: float | None, on: date, weight_kg: float) -> str:
    """What is wrong when a growing dog weighs more than it is expected to weigh grown; else nothing."""
    if not adult_kg or weight_kg <= adult_kg or on < born or not life_stage(born, on, adult_kg).growing:
        return ""
    return (
        f"The dog still grows and weighs {in_kg(weight_kg)}, more than the {in_kg(adult_kg)} expected of it "
        "grown: check both."
    )


class OwnerForm(forms.ModelForm):
    class Meta:
        model = Owner
        fields = ("name", "phone", "email", "address")
        widgets = {"address": forms.Textarea(attrs={"rows": 3})}


class OwnerChoiceForm(OwnerForm):
    """An owner on file, or a new one by name."""

    on_file = forms.ModelChoiceField(
        Owner.objects.all(), required=False, label="Owner on file", empty_label="a new owner, typed below"
    )
    field_order = ("on_file", "name", "phone", "email", "address")

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["name"].required = False
        self.fields["name"].label = "Or a new owner"
        self.fields["name"].help_text = "The name; needed when none is chosen."

    def clean(self):
        chosen, name = self.cleaned_data.get("on_file"), self.cleaned_data.get("name")
        if chosen and name:
            self.add_error("on_file", f"Choose {chosen} or type a new owner, not both.")
        if not chosen and not name and not self.errors:
            self.add_error("name", "Choose an owner on file, or type the name of a new one.")

    def owner(self) -> Owner:
        """The chosen owner, or the new one, not yet saved."""
        return self.cleaned_data["on_file"] or self.instance


class PatientForm(forms.ModelForm):
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
    avoids = LinesField(
        longest=400,
        label="Foods to avoid",
        help_text="One per line: a word that stands in a food's name, or a food of the table in full. "
        "A reason may follow after a colon, such as “chicken: itching”.",
    )

    class Meta:
        model = Patient
        fields = (
            "name", "breed", "sex", "neutered", "born", "born_is_estimate", "expected_adult_kg",
            "veterinarian", "clinic", "next_recheck", "diet_history", "conditions", "avoids", "medical_notes",
        )  # fmt: skip
        widgets = {
            "born": DATE,
            "next_recheck": DATE,
            "diet_history": forms.Textarea(attrs={"rows": 3}),
            "medical_notes": forms.Textarea(attrs={"rows": 3}),
        }
        labels = {"name": "Name of the dog", "diet_history": "What and how it is fed, in words"}
        help_texts = {"diet_history": "Times, changes, who feeds, what was tried before."}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["sex"].choices = [
            ("", "choose"),
            *((sex.value, sex.label.lower()) for sex in Patient.Sex),
        ]
        if self.instance.pk:
            self.initial["conditions"] = "\n".join(map(str, self.instance.conditions.all()))
            avoids = self.instance.avoids.select_related("food")
            self.initial["avoids"] = "\n".join(_line(avoid) for avoid in avoids)

    def clean_born(self):
        born = self.cleaned_data["born"]
        if born > timezone.localdate():
            raise ValidationError("This birth date lies in the future.")
        if age_in_months(born, timezone.localdate()) // 12 > OLDEST_YEARS:
            raise ValidationError(f"That makes the dog older than {OLDEST_YEARS} years: check the year.")
        first = self.instance.visits.order_by("date").first() if self.instance.pk else None
        if first and first.date < born:
            seen = date_format(first.date, "j F Y")
            raise ValidationError(f"The dog was already seen on {seen}, before this birth date.")
        return born

    def clean_next_recheck(self):
        day = self.cleaned_data["next_recheck"]
        kept = self.instance.pk and "next_recheck" not in self.changed_data
        return day if kept else check_next_recheck(day)

    def clean_conditions(self):
        return [Condition(name=line) for line in self.cleaned_data["conditions"]]

    def clean_avoids(self):
        return [_avoid(line) for line in self.cleaned_data["avoids"]]

    def clean(self):
        super().clean()
        born, adult_kg = self.cleaned_data.get("born"), self.cleaned_data.get("expected_adult_kg")
        last = self.instance.visits.first() if self.instance.pk else None
        if last and born and (wrong := outgrown(born, adult_kg, last.date, last.weight_kg)):
            self.add_error("expected_adult_kg", wrong)
        if {"sex", "neutered"} & set(self.changed_data):
            self._check_reproduction()

    def _check_reproduction(self) -> None:
        """What is on record of mating and whelping must go with the sex, and with being neutered."""
        dog = copy(self.instance)
        dog.sex, dog.neutered = self.cleaned_data.get("sex"), self.cleaned_data.get("neutered")
        problems = reproduction_problems(dog, timezone.localdate()) if dog.sex and dog.born else []
        for _, wrong in problems[:1]:
            self.add_error("sex" if dog.sex == Patient.Sex.MALE else "neutered", wrong)


def _line(avoid: Avoid) -> str:
    return f"{avoid}: {avoid.reason}" if avoid.reason else str(avoid)


def _avoid(line: str) -> Avoid:
    """One line as an Avoid, not yet of any patient: a food of the table by its whole name, else a word."""
    what, _, reason = (part.strip() for part in line.partition(":"))
    if not what:
        raise ValidationError(f"“{line[:40]}” names no food: write the food before the colon.")
    food = Food.objects.filter(name__iexact=what).first()
    avoid = Avoid(food=food, word="" if food else what, reason=reason)
    try:
        avoid.clean_fields(exclude={"patient"})
    except ValidationError:
        raise ValidationError(
            f"“{line[:40]}…” is too long: at most 60 characters for the word and 200 for the reason."
        ) from None
    return avoid


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
        error_messages={"invalid_choice": "A faecal score is a whole number from 1 (hard) to 7 (watery)."},
    )

    class Meta:
        model = Visit
        fields = (
            "kind", "date", "weight_kg", "left_out", "bcs", "mcs", "activity", "appetite", "faecal_score",
            "notes",
        )  # fmt: skip
        labels = {"left_out": "Leave this weight out of the curve"}
        widgets = {"date": DATE, "notes": forms.Textarea(attrs={"rows": 3})}
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
        self.ask_about_weight(visit, on)
        if wrong := outgrown(dog.born, dog.expected_adult_kg, on, found.get("weight_kg", 0)):
            self.add_error("weight_kg", wrong)
        kind = Visit.Kind(found.get("kind", visit.kind))
        if dog.visits.filter(date=on, kind=kind).exclude(pk=visit.pk).exists():
            day = date_format(on, "j F Y")
            self.add_error("date", f"There is already a visit of this kind ({kind.label}) on {day}: edit it.")


class DietItemForm(forms.ModelForm):
    kcal_per_day = NumberField(label="kcal a day", required=False, min_value=0, max_value=HIGHEST_KCAL)

    class Meta:
        model = DietItem
        fields = ("what", "kcal_per_day", "is_extra")
        error_messages = {"what": {"required": "Say what it is, or clear the whole row."}}


class _DietItems(forms.BaseFormSet):
    def items(self) -> list[DietItem]:
        """The rows that were filled in, not yet saved."""
        return [form.save(commit=False) for form in self.forms if form.has_changed()]


DietItemFormSet = forms.formset_factory(
    DietItemForm, formset=_DietItems, extra=3, max_num=60, absolute_max=60
)


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


class IntakeForms(Together):
    """Everything that is asked when a dog is taken on."""

    def __init__(self, data=None, *, owner: Owner | None = None, next_recheck: date | None = None):
        self.owner = OwnerChoiceForm(data, prefix="owner", initial={"on_file": owner})
        self.patient = PatientForm(data, initial={"next_recheck": next_recheck})
        self.visit = VisitForm(data, prefix="visit", instance=Visit(kind=Visit.Kind.INTAKE))
        self.diet = DietItemFormSet(data, prefix="diet")
        super().__init__(self.owner, self.patient, self.visit, self.diet)

    def is_valid(self) -> bool:
        valid = super().is_valid()
        born, on = self.patient.cleaned_data.get("born"), self.visit.cleaned_data.get("date")
        if not born or not on:
            return False
        if born > on:
            self.patient.add_error("born", "The first visit lies before this birth date: check both dates.")
        adult_kg = self.patient.cleaned_data.get("expected_adult_kg")
        if wrong := outgrown(born, adult_kg, on, self.visit.cleaned_data.get("weight_kg", 0)):
            self.patient.add_error("expected_adult_kg", wrong)
        return valid and not self.errors
