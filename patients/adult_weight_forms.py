"""The form beside a puppy's expected adult weight: what its estimates rest on. Nothing of it is stored."""

from dataclasses import replace

from django import forms

from nutrients.fields import NumberField
from nutrients.units import kg_from
from patients.adult_weight import GROWN_WEEKS, Estimate, Puppy, estimates
from patients.energy import check_weight
from patients.fields import UNITS

WEIGHTS = ("breed_low", "breed_high", "mother", "father", "young")


class AdultWeightForm(forms.Form):
    unit = forms.ChoiceField(label="Weights in", choices=UNITS, required=False)
    breed_low = NumberField(label="Breed, from", required=False)
    breed_high = NumberField(label="Breed, to", required=False)
    mother = NumberField(label="Mother", required=False)
    father = NumberField(label="Father", required=False)
    young = NumberField(label="Weight when young", required=False)
    young_weeks = NumberField(
        label="Its age then (weeks)", required=False, min_value=1, max_value=GROWN_WEEKS
    )

    def clean(self):
        for name in WEIGHTS:
            if (number := self.cleaned_data.get(name)) is None:
                continue
            try:
                self.cleaned_data[name] = check_weight(kg_from(number, self.cleaned_data.get("unit") or "kg"))
            except ValueError as problem:
                self.add_error(name, str(problem))

    def estimates(self, weighed: tuple[float, float] | None) -> list[Estimate]:
        """Every way with what was typed.

        weighed: a weight [kg] and the age then [weeks], for want of one typed.
        """
        found = in_order(self)
        puppy = Puppy(
            young_weeks=found.get("young_weeks"), **{f"{name}_kg": found.get(name) for name in WEIGHTS}
        )
        if puppy.young_kg is None and puppy.young_weeks is None and weighed:
            puppy = replace(puppy, young_kg=weighed[0], young_weeks=weighed[1])
        return estimates(puppy)

    @property
    def is_used(self) -> bool:
        return self.is_bound and any(self[name].data for name in (*WEIGHTS, "young_weeks"))


def in_order(form: forms.BaseForm) -> dict:
    """What was sent in order so far; nothing when nothing was sent."""
    form.is_valid()
    return getattr(form, "cleaned_data", {})
