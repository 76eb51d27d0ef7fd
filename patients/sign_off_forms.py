"""The forms of a veterinarian's sign-off. What was typed is kept; only a file has to be chosen again."""

from dataclasses import dataclass

from django import forms
from django.core.exceptions import ValidationError
from django.template.defaultfilters import filesizeformat
from django.utils import timezone

from nutrients.fields import NumberField
from nutrients.models import Nutrient
from patients.agreements import LITTLE_ENERGY
from patients.dog import Dog
from patients.energy import resting_energy
from patients.letter_files import ENDINGS, MOST_BYTES, kind_of
from patients.models import AgreedNumber, Patient, SignOff
from patients.plan_checks import LOWEST_OF_RER
from patients.sign_off_queries import Settable, settable_nutrients

SLIP_OF_RER = 0.5  # common practice, no source: less energy than this is a slip of the number
SLIP_OF_MINIMUM = 0.1  # common practice, no source: less of a nutrient than this is a slip of the unit
NUMBER_ROWS = 4


@dataclass(frozen=True)
class Letter:
    """An uploaded letter that was found to be what it says."""

    name: str
    kind: str
    content: bytes


class SignOffForm(forms.ModelForm):
    lowest_kcal = NumberField(label="Least energy (kcal a day)")
    letter = forms.FileField(
        label="The veterinarian's letter",
        required=False,
        widget=forms.FileInput(attrs={"accept": ",".join(ENDINGS)}),
        help_text=f"A PDF, or a PNG or JPEG picture of it, at most {filesizeformat(MOST_BYTES)}.",
        error_messages={"empty": "This file is empty."},
    )

    class Meta:
        model = SignOff
        fields = ("veterinarian", "clinic", "agreed_on", "agreed", "lowest_kcal")
        widgets = {
            "agreed_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            "agreed": forms.Textarea(attrs={"rows": 4}),
        }
        error_messages = {
            "veterinarian": {"required": "Enter the veterinarian who agreed."},
            "clinic": {"required": "Enter the veterinarian's clinic."},
            "agreed_on": {"required": "Enter the day of the agreement."},
            "agreed": {"required": "Enter what was agreed, in the veterinarian's words where you can."},
        }

    def __init__(self, data=None, files=None, *, patient: Patient, subject: str, dog: Dog):
        start = {"veterinarian": patient.veterinarian, "clinic": patient.clinic}
        super().__init__(data, files, instance=SignOff(patient=patient, subject=subject), initial=start)
        self.dog = dog
        self.standing = patient.sign_offs.standing().filter(subject=subject).first()
        if subject != LITTLE_ENERGY:
            del self.fields["lowest_kcal"]

    def clean_agreed_on(self):
        day = self.cleaned_data["agreed_on"]
        if day > timezone.localdate():
            raise ValidationError("This day lies in the future.")
        if self.standing and day < self.standing.agreed_on:
            stands = self.standing.agreed_on
            raise ValidationError(
                f"The sign-off on file is of {stands.day} {stands:%B %Y}, a later day: withdraw it first."
            )
        return day

    def clean_lowest_kcal(self) -> float:
        kcal = self.cleaned_data["lowest_kcal"]
        if self.dog.weight_kg is None or self.dog.needs_growth_profile:
            raise ValidationError("Only for a grown dog that was weighed here, and not while it reproduces.")
        rer = resting_energy(self.dog.ideal_kg())
        lowest, needed = SLIP_OF_RER * rer, LOWEST_OF_RER * rer
        if not lowest <= kcal < needed:
            raise ValidationError(
                f"Enter a number from {lowest:,.0f} to {needed:,.0f} kcal: {LOWEST_OF_RER} x RER of the "
                "ideal weight and more needs no sign-off, and less than half of RER cannot be right."
            )
        return kcal

    def clean_letter(self) -> Letter | None:
        upload = self.cleaned_data["letter"]
        if not upload:
            return None
        if upload.size > MOST_BYTES:
            most, size = filesizeformat(MOST_BYTES), filesizeformat(upload.size)
            raise ValidationError(f"This file has {size}; at most {most} are kept.")
        content = upload.read()
        try:
            return Letter(upload.name[-200:], kind_of(content), content)
        except ValueError as problem:
            raise ValidationError(str(problem)) from None

    @property
    def wants_letter_again(self) -> bool:
        """A file was chosen that a browser does not hand over twice."""
        return self.is_bound and bool(self.files) and "letter" not in self.errors


class NumberForm(forms.ModelForm):
    per_1000_kcal = NumberField(label="Per 1000 kcal", min_value=0)

    class Meta:
        model = AgreedNumber
        fields = ("nutrient", "bound", "per_1000_kcal")
        labels = {"bound": "At most or at least"}
        error_messages = {"nutrient": {"required": "Choose the nutrient."}}

    def __init__(self, *args, settable: list[Settable], **options):
        super().__init__(*args, **options)
        offered = [(each.nutrient.pk, f"{each.nutrient} ({each.unit})") for each in settable]
        self.fields["nutrient"].choices = [("", "choose"), *offered]
        self.settable = {each.nutrient.pk: each for each in settable}
        self.empty_permitted = True  # also where a nutrient is chosen already

    def has_changed(self) -> bool:
        """A row without nutrient and number is an empty one, whatever it began with."""
        typed = any(self[name].data for name in ("nutrient", "per_1000_kcal"))
        return typed and super().has_changed()

    def clean(self):
        """In the unit that stands beside the nutrient; far below any need it is a slip of the unit."""
        found = super().clean()
        chosen = self.settable.get(getattr(found.get("nutrient"), "pk", None))
        if chosen is None:
            return
        self.instance.unit = chosen.unit
        value, minimum = found.get("per_1000_kcal"), chosen.minimum
        if value is not None and minimum and value < SLIP_OF_MINIMUM * minimum:
            self.add_error(
                "per_1000_kcal",
                f"Check the number and its unit: adult dogs need {minimum:g} {chosen.unit} per 1000 kcal.",
            )


class _Numbers(forms.BaseFormSet):
    def clean(self) -> None:
        """Each side of a nutrient once, and the two sides in order."""
        seen: dict[tuple[Nutrient, str], float] = {}
        for form in self.forms:
            found = form.cleaned_data if form.has_changed() and form.is_valid() else {}
            if not found:
                continue
            nutrient, bound, value = found["nutrient"], found["bound"], found["per_1000_kcal"]
            if (nutrient, bound) in seen:
                form.add_error("nutrient", f"{nutrient} stands above already.")
            seen[nutrient, bound] = value
            least, most = (seen.get((nutrient, side)) for side in ("at_least", "at_most"))
            if least is not None and most is not None and least > most:
                form.add_error("per_1000_kcal", "The least lies above the most: check both numbers.")

    def numbers(self) -> list[AgreedNumber]:
        """The rows that were filled in, not yet saved."""
        return [form.save(commit=False) for form in self.forms if form.has_changed()]


def number_forms(data=None, *, about: tuple[str, ...]) -> forms.BaseFormSet:
    """Rows for the numbers that the veterinarian sets, those that the caution is about chosen already."""
    settable = settable_nutrients(about)
    start = [{"nutrient": each.nutrient.pk} for each in settable[: min(len(about), NUMBER_ROWS)]]
    rows = forms.formset_factory(
        NumberForm, formset=_Numbers, extra=NUMBER_ROWS - len(start), max_num=20, absolute_max=20
    )
    return rows(data, prefix="numbers", initial=start, form_kwargs={"settable": settable})


class WithdrawForm(forms.Form):
    reason = forms.CharField(
        max_length=300,
        label="Why it no longer holds",
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Say why: the sign-off is kept with it."},
    )
