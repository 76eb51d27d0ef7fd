"""Lists on a dog's record, a row each: foods to avoid, medicines, supplements given, laboratory results."""

from datetime import date

from django import forms
from django.core.exceptions import ValidationError
from django.http import QueryDict

from nutrients.models import Food
from patients.models import Avoid, GivenSupplement, LabResult, Medicine, Patient
from patients.weight_forms import DATE

MOST_ROWS = 60
LAB_NAMES = (  # offered while typing; any other may be typed
    "creatinine", "urea", "SDMA", "ALT", "ALP", "bile acids", "triglycerides", "cholesterol", "lipase", "T4",
    "TSH", "glucose", "fructosamine", "potassium", "sodium", "calcium", "phosphate", "albumin", "haematocrit",
    "urine specific gravity", "urine protein to creatinine ratio", "urine pH", "urine crystals",
)  # fmt: skip
CLEAR = "or clear the whole row."


def _not_told(field: forms.ChoiceField) -> None:
    field.choices = [("", "not told"), *field.choices[1:]]


class AvoidForm(forms.ModelForm):
    what = forms.CharField(
        label="Food",
        max_length=200,
        help_text="A word in the food's name, or a food of the table in full.",
        error_messages={"required": f"Name the food, {CLEAR}"},
    )

    class Meta:
        model = Avoid
        fields = ("what", "kind", "reason")
        labels = {"reason": "What happens"}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        _not_told(self.fields["kind"])

    def clean(self):
        super().clean()
        what = self.cleaned_data.get("what", "")
        avoid = self.instance
        avoid.food = Food.objects.filter(name__iexact=what).first() if what else None
        avoid.word = "" if avoid.food else what
        longest = Avoid._meta.get_field("word").max_length
        if len(avoid.word) > longest:
            self.add_error("what", f"At most {longest} characters, unless it is a food of the table in full.")


class MedicineForm(forms.ModelForm):
    class Meta:
        model = Medicine
        fields = ("name", "how_given", "reason", "started_on", "ended_on")
        labels = {"name": "Medicine"}
        widgets = {"started_on": DATE, "ended_on": DATE}
        error_messages = {"name": {"required": f"Name the medicine, {CLEAR}"}}


class GivenSupplementForm(forms.ModelForm):
    class Meta:
        model = GivenSupplement
        fields = ("name", "amount", "reason")
        labels = {"name": "Supplement"}
        error_messages = {"name": {"required": f"Name the supplement, {CLEAR}"}}


class LabResultForm(forms.ModelForm):
    class Meta:
        model = LabResult
        fields = ("date", "what", "value", "unit", "normal_range", "mark")
        labels = {"date": "Day of the sample", "what": "Measured"}
        widgets = {"date": DATE, "what": forms.TextInput(attrs={"list": "lab-names"})}
        error_messages = {
            "date": {"required": "Enter the day of the sample."},
            "what": {"required": f"Say what was measured, {CLEAR}"},
            "value": {"required": "Enter the value as the laboratory wrote it."},
        }

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        _not_told(self.fields["mark"])


class Rows(forms.BaseFormSet):
    """A row that is left empty, or cleared, is left out."""

    def initial_form_count(self):
        return 0 if self.is_bound else super().initial_form_count()

    def entries(self) -> list:
        """What the filled rows say, not yet saved."""
        return [form.instance for form in self.forms if form.has_changed()]


def _rows(form: type[forms.ModelForm]) -> type[Rows]:
    return forms.formset_factory(form, formset=Rows, extra=1, max_num=MOST_ROWS, absolute_max=MOST_ROWS)


AvoidRows, MedicineRows = _rows(AvoidForm), _rows(MedicineForm)
GivenSupplementRows, LabResultRows = _rows(GivenSupplementForm), _rows(LabResultForm)
LISTS = {  # prefix on the page and name on the patient -> its rows
    "avoids": AvoidRows,
    "medicines": MedicineRows,
    "given_supplements": GivenSupplementRows,
    "lab_results": LabResultRows,
}


def rows_of(data, patient: Patient | None = None) -> dict[str, Rows]:
    """The four lists: as sent, or else as on record."""
    return {
        name: rows(data, prefix=name, initial=_on_record(patient, name) if data is None else None)
        for name, rows in LISTS.items()
    }


def _on_record(patient: Patient | None, name: str) -> list[dict]:
    entries = getattr(patient, name).all() if patient and patient.pk else ()
    return [forms.model_to_dict(entry) | {"what": getattr(entry, "what", str(entry))} for entry in entries]


def with_a_row_more(data: QueryDict, name: str) -> QueryDict:
    """What was sent, with one more empty row in the list of this name; as it was for a name that has none."""
    counter = f"{name}-TOTAL_FORMS"
    rows = data.get(counter, "")
    if not rows.isdecimal():
        return data
    longer = data.copy()
    longer[counter] = str(min(int(rows) + 1, MOST_ROWS))
    return longer


def check_days(lists: dict[str, Rows], born: date | None) -> None:
    """Nothing was measured or given before the dog was born. For lists that were checked by themselves."""
    for rows, field in ((lists["lab_results"], "date"), (lists["medicines"], "started_on")):
        for form in rows.forms:
            day = form.cleaned_data.get(field) if hasattr(form, "cleaned_data") else None
            if born and day and day < born:
                form.add_error(field, ValidationError("The dog was not born yet: check both dates."))
