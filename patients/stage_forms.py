"""The form of a dog's life stage: mating, whelping, puppies, or a stage set by hand with its reason."""

from django import forms
from django.utils import timezone

from patients.life_stage import STAGES, stage_problems
from patients.models import Patient
from patients.reproduction import MOST_PUPPIES, reproduction_problems
from patients.weight_forms import DATE

BY_RECORD = "follows from age, size and dates"


class StageForm(forms.ModelForm):
    litter = forms.IntegerField(
        label="Puppies nursing now",
        required=False,
        min_value=0,
        help_text="Those at the teat. Enter 0 once they are weaned.",
        error_messages={"invalid": f"Enter 0 to {MOST_PUPPIES} puppies.", "min_value": "Enter 0 or more."},
        widget=forms.TextInput(attrs={"inputmode": "numeric", "class": "number", "autocomplete": "off"}),
    )
    stage_by_hand = forms.ChoiceField(
        label="Life stage", required=False, choices=[("", BY_RECORD), *STAGES.items()]
    )

    class Meta:
        model = Patient
        fields = ("mated_on", "whelped_on", "litter", "stage_by_hand", "stage_reason")
        widgets = {"mated_on": DATE, "whelped_on": DATE}
        labels = {
            "mated_on": "Mated on",
            "whelped_on": "Whelped on",
            "stage_reason": "Why it is set by hand",
        }
        help_texts = {
            "mated_on": "The first mating of this pregnancy: weeks are counted from it.",
            "stage_reason": "Needed with a stage set by hand; kept in the record.",
        }

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        if self.instance.sex == Patient.Sex.MALE and not self._has_reproduction():
            for name in ("mated_on", "whelped_on", "litter"):
                del self.fields[name]

    def _has_reproduction(self) -> bool:
        return any(getattr(self.instance, name) is not None for name in ("mated_on", "whelped_on", "litter"))

    def clean(self):
        super().clean()
        dog, today = self.instance, timezone.localdate()
        if not self.cleaned_data.get("stage_by_hand"):
            self.cleaned_data["stage_reason"] = ""
        for name, value in self.cleaned_data.items():
            setattr(dog, name, value)
        problems = [] if self.errors else [*reproduction_problems(dog, today), *stage_problems(dog, today)]
        for field, sentence in problems:
            self.add_error(field, sentence)
