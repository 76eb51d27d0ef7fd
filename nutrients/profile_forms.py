"""Forms of the standards' pages: the basis they are shown on, a changed limit, an own profile."""

from django import forms
from django.http import QueryDict

from nutrients.adequacy import PER_1000_KCAL
from nutrients.change_forms import CERTAINTIES, CERTAINTY_HELP, ReasonForm, number
from nutrients.fields import NumberField
from nutrients.models import Limit, Nutrient, Profile
from nutrients.profile_basis import (
    BASIS_NAMES,
    DENSITY_RANGE,
    KCAL_PER_KG_DM,
    KCAL_PER_MBW,
    MBW_RANGE,
    StatedEnergy,
)
from nutrients.units import convert

MOST = 1_000_000  # common practice, no source: a larger limit is a typing error in any unit
MOST_COMPARED = 4
UNITS = ("g", "mg", "ug", "IU", "RE", "ratio", "IU/g")
NEVER_JUDGED = ("energy", "vitamin_a_usda")


class LimitForm(ReasonForm):
    minimum = number("Minimum", MOST, required=False)
    maximum = number("Maximum", MOST, required=False)

    class Meta:
        model = Limit
        fields = ("minimum", "maximum", "kind", "certainty", "maximum_certainty", "source", "note")
        labels = {"certainty": "Certainty of the minimum", "maximum_certainty": "Certainty of the maximum"}
        help_texts = {"certainty": CERTAINTY_HELP}
        widgets = {"source": forms.Textarea(attrs={"rows": 2}), "note": forms.Textarea(attrs={"rows": 2})}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["kind"].choices = Limit.Kind.choices
        self.fields["certainty"].choices = CERTAINTIES
        self.fields["maximum_certainty"].choices = [("", "no maximum"), *CERTAINTIES]
        self.fields["certainty"].error_messages["required"] = "Say how sure the number is."
        self.fields["source"].error_messages["required"] = "Say where the number stands."
        basis = Profile.Basis(self.instance.profile.basis).label
        unit = self.instance.unit
        if unit and unit not in ("ratio", "IU/g"):
            for side in ("minimum", "maximum"):
                self.fields[side].label = f"{side.capitalize()} ({unit} {basis})"

    def clean(self):
        cleaned = super().clean()
        low, high = cleaned.get("minimum"), cleaned.get("maximum")
        if not {"minimum", "maximum"} & set(self.errors):
            self._check_sides(low, high, cleaned)
            self._check_others(low, cleaned.get("kind", ""))
        return cleaned

    def _check_sides(self, low: float | None, high: float | None, cleaned: dict) -> None:
        if low is None and high is None:
            self.add_error("minimum", "Enter a minimum, a maximum or both.")
        if low is not None and high is not None and low > high:
            self.add_error("maximum", f"The maximum lies below the minimum of {low:g}.")
        if high is not None and not cleaned.get("kind"):
            self.add_error("kind", "Say which kind of maximum it is.")
        if high is None and cleaned.get("kind"):
            self.add_error("maximum", "Enter the maximum, or choose “no maximum”.")
        if high is not None and not cleaned.get("maximum_certainty"):
            self.add_error("maximum_certainty", "Say how sure the maximum is.")
        if high is None:
            cleaned["maximum_certainty"] = ""

    def _check_others(self, low: float | None, kind: str) -> None:
        """A profile gives a nutrient one minimum, and one maximum of a kind."""
        limit = self.instance
        others = Limit.objects.filter(profile=limit.profile, nutrient=limit.nutrient_id).exclude(pk=limit.pk)
        if others.filter(kind=kind).exists():
            said = Limit.Kind(kind).label if kind else "minimum alone"
            self.add_error("kind", f"Another limit of this nutrient is the {said}: change that one.")
        if low is not None and others.filter(minimum__isnull=False).exists():
            self.add_error("minimum", "Another limit of this nutrient gives the minimum: change that one.")


class RemoveForm(forms.Form):
    """Why a limit is taken out of a profile of the practice's own."""

    reason = forms.CharField(max_length=500, error_messages={"required": "Say why it is taken out."})


class NewLimitForm(LimitForm):
    """A limit for a profile of the practice's own."""

    class Meta(LimitForm.Meta):
        fields = ("nutrient", "unit", *LimitForm.Meta.fields)

    unit = forms.ChoiceField(choices=[(unit, unit) for unit in UNITS], help_text="Per 1000 kcal.")
    field_order = ("nutrient", "unit")

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["nutrient"].queryset = Nutrient.objects.exclude(key__in=NEVER_JUDGED)
        self.fields["nutrient"].empty_label = "choose"
        self.fields["nutrient"].error_messages["required"] = "Choose the nutrient."

    def clean(self):
        nutrient, unit = (self.cleaned_data.get(name) for name in ("nutrient", "unit"))
        self.instance.nutrient = nutrient
        cleaned = super().clean()
        if nutrient and unit:
            try:
                convert(1, nutrient.unit, unit, nutrient.key)
            except ValueError:
                self.add_error("unit", f"{nutrient} is given in {nutrient.unit}: {unit} does not go with it.")
        return cleaned


class OwnProfileForm(forms.ModelForm):
    """A profile of the practice's own: its name, whose targets it holds, a note."""

    class Meta:
        model = Profile
        fields = ("life_stage", "targets_by", "note")
        labels = {"life_stage": "Name", "targets_by": "Whose targets", "note": "Note"}
        help_texts = {
            "life_stage": "Life stage and purpose, such as “adult, early renal”.",
            "targets_by": "The veterinarian and the clinic. Stands beside the profile wherever it is named.",
        }
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["targets_by"].required = True
        self.fields["life_stage"].error_messages["required"] = "Give the profile a name."
        self.fields["targets_by"].error_messages["required"] = "Say whose targets they are."

    def clean_life_stage(self) -> str:
        name = " ".join(self.cleaned_data["life_stage"].split())
        if Profile.objects.filter(own=True, life_stage__iexact=name).exclude(pk=self.instance.pk).exists():
            raise forms.ValidationError("Another profile has this name: choose a name of its own.")
        return name


class BasisForm(forms.Form):
    """On which basis limits are shown, and which energies that rests on."""

    basis = forms.ChoiceField(label="Show limits", choices=list(BASIS_NAMES.items()))
    density = NumberField(
        label="Energy density (kcal per kg DM)",
        required=False,
        min_value=DENSITY_RANGE[0],
        max_value=DENSITY_RANGE[1],
    )
    energy = NumberField(
        label="Daily energy (kcal per kg^0.75)",
        required=False,
        min_value=MBW_RANGE[0],
        max_value=MBW_RANGE[1],
    )

    def __init__(self, data: QueryDict, *, basis: str = PER_1000_KCAL, energy: float | None = None):
        """basis: what is shown unless another one is asked for. energy: filled in unless one is asked for."""
        self.published = basis
        usual = {"basis": basis, "density": f"{KCAL_PER_KG_DM:g}", "energy": f"{energy:g}" if energy else ""}
        asked = data.copy()
        for name, value in usual.items():
            asked.setdefault(name, value)
        super().__init__(asked)
        for name, (low, high) in (("density", DENSITY_RANGE), ("energy", MBW_RANGE)):
            said = f"It cannot be right: enter {low:g} to {high:g}."
            self.fields[name].error_messages |= {"min_value": said, "max_value": said}

    def shown_basis(self) -> str:
        """The basis that was asked for; the published one while something is wrong."""
        return self.cleaned_data["basis"] if self.is_valid() else self.published

    def stated(self, assumed_kcal_per_mbw: float | None) -> StatedEnergy:
        """The energies typed in; for an empty one what the profile assumes, else the usual."""
        typed = self.cleaned_data if self.is_valid() else {}
        per_kg_dm = typed.get("density") or KCAL_PER_KG_DM
        return StatedEnergy(per_kg_dm, typed.get("energy") or assumed_kcal_per_mbw or KCAL_PER_MBW)


class CompareForm(BasisForm):
    """Up to four profiles to be shown side by side."""

    p = forms.ModelMultipleChoiceField(
        Profile.objects.select_related("standard"),
        label="Profiles",
        to_field_name="key",
        widget=forms.CheckboxSelectMultiple,
        error_messages={
            "required": "Choose two to four profiles.",
            "invalid_choice": "There is no profile “%(value)s”.",
        },
    )
    differ = forms.BooleanField(label="only what differs", required=False)

    def clean_p(self):
        chosen = self.cleaned_data["p"]
        if not 2 <= len(chosen) <= MOST_COMPARED:
            raise forms.ValidationError("Choose two to four profiles.")
        asked = self.data.getlist("p")
        return sorted(chosen, key=lambda profile: asked.index(profile.key))
