"""The form of the energy page: the goal, the weight aimed at, the method, an own number, its reason."""

import math
from urllib.parse import urlencode

from django import forms

from nutrients.fields import NumberField
from patients.dog import Dog
from patients.energy import HIGHEST_KCAL, HIGHEST_PERCENT_PER_BCS_POINT, PERCENT_PER_BCS_POINT
from patients.energy_page import BY_HAND, Outcome, Wanted
from patients.fields import WeightField
from patients.models import Plan
from patients.sentences import in_kg

NOW, BY_TEN, BY_FIFTEEN, TYPED = "now", "10", "15", "typed"
PERCENTS = {BY_TEN: PERCENT_PER_BCS_POINT, BY_FIFTEEN: HIGHEST_PERCENT_PER_BCS_POINT}


class EnergyForm(forms.Form):
    goal = forms.ChoiceField(label="Goal", choices=Plan.Goal.choices)
    aim = forms.ChoiceField(label="Weight aimed at", widget=forms.RadioSelect)
    target_kg = WeightField(label="By hand", required=False)
    method = forms.CharField(label="Method", required=False)
    kcal_per_day = NumberField(
        label="kcal a day, your own number",
        required=False,
        min_value=1,
        max_value=HIGHEST_KCAL,
        help_text="Stands instead of the method's number, or by itself.",
    )
    reason = forms.CharField(
        label="Why outside the published range",
        required=False,
        max_length=300,
        help_text="Needed outside it; kept with the plan.",
    )

    def __init__(self, asked, *, dog: Dog):
        self.dog = dog
        goals = [goal for goal in Plan.Goal.choices if (goal[0] == Plan.Goal.GROW) <= dog.stage.growing]
        aims = self._aims()
        start = {"goal": Plan.Goal.GROW if dog.stage.growing else Plan.Goal.HOLD, "aim": aims[0][0]}
        start |= {"aim": BY_TEN} if BY_TEN in dict(aims) else {}
        super().__init__({**start, **{name: asked[name] for name in asked}})
        self.fields["goal"].choices = goals
        self.fields["aim"].choices = aims
        self.fields["kcal_per_day"].widget.attrs["aria-describedby"] = "energy-outcome"

    def _aims(self) -> list[tuple[str, str]]:
        """The weight now; for a grown dog that does not breed also the ideal weight by 10 and by 15 %."""
        aims = [(NOW, f"{in_kg(self.dog.weight_kg)}, the weight now")]
        if not self.dog.needs_growth_profile and self.dog.ideal_kg() != self.dog.weight_kg:
            aims += [
                (key, f"{in_kg(self.dog.ideal_kg(percent))}, ideal at {percent:g} % per BCS point")
                for key, percent in PERCENTS.items()
            ]
        return [*aims, (TYPED, "by hand")]

    def clean(self):
        super().clean()
        typed = self.cleaned_data.get("target_kg")
        if self.cleaned_data.get("aim") == TYPED and typed is None and "target_kg" not in self.errors:
            self.add_error("target_kg", "Enter the weight aimed at, or choose another above.")

    @property
    def target_kg_or_now(self) -> float:
        """The weight that the methods are worked out at, also while the form is not in order [kg]."""
        found = getattr(self, "cleaned_data", {})
        aim, typed = found.get("aim"), found.get("target_kg")
        if aim == TYPED and typed:
            return typed
        return self.dog.ideal_kg(PERCENTS[aim]) if aim in PERCENTS else self.dog.weight_kg

    @property
    def wanted(self) -> Wanted:
        found = self.cleaned_data
        return Wanted(
            goal=found.get("goal") or Plan.Goal.HOLD,
            target_kg=self.target_kg_or_now,
            method=found.get("method", ""),
            kcal_per_day=found.get("kcal_per_day"),
            reason=found.get("reason", ""),
        )

    def plan_query(self, outcome: Outcome) -> str:
        """What a new plan is handed: read by `handed_over`."""
        wanted, found = self.wanted, {"goal": self.wanted.goal, "target_kg": f"{self.wanted.target_kg:.4g}"}
        if wanted.kcal_per_day is None:
            found["energy"] = wanted.method
        else:
            found |= {"energy": BY_HAND, "kcal_per_day": f"{outcome.kcal:.0f}"}
        if reason := _reason(wanted, outcome):
            found["energy_reason"] = reason
        return urlencode(found)


def _reason(wanted: Wanted, outcome: Outcome) -> str:
    """The reason that was typed; else, for a number within a chosen method's range, that method."""
    if wanted.reason.strip() or wanted.kcal_per_day is None or outcome.method == BY_HAND:
        return wanted.reason.strip()
    return f"by {outcome.label}"


def handed_over(asked) -> dict:
    """What a new plan begins with, from the address it was asked by; what is no number is left out."""
    found = {name: asked.get(name) for name in ("recipe_version", "goal", "energy", "energy_reason")}
    return found | {name: _number(asked.get(name, "")) for name in ("target_kg", "kcal_per_day")}


def _number(text: str) -> float | None:
    try:
        number = float(text)
    except ValueError:
        return None
    return number if math.isfinite(number) and number > 0 else None
