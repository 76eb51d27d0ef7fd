"""The forms of an intake and of a dog's record: many on one page, checked together."""

from datetime import date

from django import forms
from django.core.exceptions import NON_FIELD_ERRORS, ValidationError

from patients.adult_weight import Estimate
from patients.adult_weight_forms import AdultWeightForm, in_order
from patients.clinical_forms import LAB_NAMES, check_days, rows_of
from patients.diet_forms import DietItemFormSet
from patients.dog_checks import outgrown
from patients.fields import NameField
from patients.forms import PatientForm, Together, VisitForm
from patients.models import Owner, Patient, Visit
from patients.photos import FORMATS, MOST_BYTES, small_jpeg
from patients.weight_forms import DATE


class OwnerForm(forms.ModelForm):
    class Meta:
        model = Owner
        fields = (
            "name", "second_name", "phone", "second_phone", "email", "address", "reach", "reach_note",
            "consented_on", "language", "units",
        )  # fmt: skip
        field_classes = {"name": NameField, "second_name": NameField}
        labels = {"email": "E-mail"}
        widgets = {"address": forms.Textarea(attrs={"rows": 3}), "consented_on": DATE}
        help_texts = {
            "second_name": "Who else decides and feeds.",
            "reach_note": "Such as: after five, not on Mondays.",
            "consented_on": "The day the owner agreed that these records are kept; else empty.",
            "language": "The take-home sheets are issued in it.",
            "units": "What stands first on the sheets. Powders are always weighed in grams.",
        }

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["reach"].choices = [("", "not told"), *Owner.Reach.choices]
        self.fields["language"].required = self.fields["units"].required = False

    def clean_language(self) -> str:
        return self.cleaned_data["language"] or self.instance.language

    def clean_units(self) -> str:
        return self.cleaned_data["units"] or self.instance.units


class OwnerChoiceForm(OwnerForm):
    """An owner on file, or a new one by name."""

    on_file = forms.ModelChoiceField(
        Owner.objects.kept(), required=False, label="Owner on file", empty_label="a new owner, typed below"
    )
    field_order = ("on_file", *OwnerForm.Meta.fields)

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


class PhotoForm(forms.Form):
    """cleaned_data["photo"]: a small JPEG, or None."""

    photo = forms.FileField(
        required=False,
        widget=forms.FileInput(attrs={"accept": ",".join(f"image/{name.lower()}" for name in FORMATS)}),
        help_text=f"A JPEG, PNG or WebP picture of at most {MOST_BYTES // 1024**2} MB.",
        error_messages={"empty": "This file is empty."},
    )

    def clean_photo(self) -> bytes | None:
        file = self.cleaned_data["photo"]
        if not file:
            return None
        try:  # no more is read than tells that the file is too large
            return small_jpeg(file.read(MOST_BYTES + 1))
        except ValueError as problem:
            raise ValidationError(str(problem)) from None


class RecordForms(Together):
    """A dog's record with its lists. weighed: its last weight [kg] and its age then [weeks], if any."""

    lab_names = LAB_NAMES

    def __init__(self, data=None, *, patient: Patient, weighed: tuple[float, float] | None = None):
        self.patient = PatientForm(data, instance=patient)
        self.weighed = weighed
        self._add_lists(data, patient)
        super().__init__(self.patient, *self.lists.values())

    def _add_lists(self, data, patient: Patient | None) -> None:
        self.lists = rows_of(data, patient)
        self.adult_weight = AdultWeightForm(data, prefix="adult")

    def is_valid(self) -> bool:
        valid = super().is_valid()
        check_days(self.lists, self.patient.cleaned_data.get("born"))
        return valid and not self.errors

    def estimates(self) -> list[Estimate]:
        return self.adult_weight.estimates(self.weighed)

    def record(self) -> dict:
        """What `intake.amend` saves. For forms that are valid."""
        lists = {name: rows.entries() for name, rows in self.lists.items()}
        conditions = self.patient.cleaned_data["conditions"]
        return {"patient": self.patient.instance, "conditions": conditions} | lists

    def tell_only_of_typed(self) -> None:
        """While a page is still being filled in: nothing is missing yet, but a slip is a slip."""
        for form in self.forms:
            for name in list(form.errors):
                if name == NON_FIELD_ERRORS or not _is_typed(form[name].data):
                    del form.errors[name]


def _is_typed(sent) -> bool:
    return bool(sent[0] if isinstance(sent, list) and sent else sent)


class IntakeForms(RecordForms):
    """Everything that is asked when a dog is taken on."""

    def __init__(
        self, data=None, files=None, *, owner: Owner | None = None, next_recheck: date | None = None
    ):
        self.owner = OwnerChoiceForm(data, prefix="owner", initial={"on_file": owner})
        self.patient = PatientForm(data, initial={"next_recheck": next_recheck})
        self.visit = VisitForm(data, prefix="visit", instance=Visit(kind=Visit.Kind.INTAKE))
        self.diet = DietItemFormSet(data, prefix="diet")
        self.photo = PhotoForm(data, files)
        self._add_lists(data, None)
        Together.__init__(
            self, self.owner, self.photo, self.patient, self.visit, *self.lists.values(), self.diet
        )

    def is_valid(self) -> bool:
        valid = super().is_valid()
        born, on = self.patient.cleaned_data.get("born"), self.visit.cleaned_data.get("date")
        if not born or not on:
            return False
        if born > on:
            self.patient.add_error("born", "The first visit lies before this birth date: check both dates.")
        kg = self.visit.cleaned_data.get("weight_kg", 0)
        if not self.patient.errors:
            self.visit.ask_about_weight(self.visit.instance, on, self.patient.instance)
        adult_kg = self.patient.cleaned_data.get("expected_adult_kg")
        if wrong := outgrown(born, adult_kg, on, self.visit.cleaned_data.get("weight_kg", kg)):
            self.patient.add_error("expected_adult_kg", wrong)
        return valid and not self.errors

    def estimates(self) -> list[Estimate]:
        return self.adult_weight.estimates(self._weighed_at_visit())

    def _weighed_at_visit(self) -> tuple[float, float] | None:
        dog, visit = in_order(self.patient), in_order(self.visit)
        born, on, kg = dog.get("born"), visit.get("date"), visit.get("weight_kg")
        return (kg, (on - born).days / 7) if kg and born and on and on > born else None

    def parts(self) -> dict:
        """What `intake.admit` saves. For forms that are valid."""
        first = {"owner": self.owner.owner(), "visit": self.visit.instance, "diet_items": self.diet.items()}
        return self.record() | first
