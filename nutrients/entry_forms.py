"""Forms in which somebody enters what a food holds: worked out to 100 g, checked, and kept with a reason."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django import forms
from django.forms.boundfield import BoundField

from nutrients import labels, queries
from nutrients.fields import NumberField
from nutrients.food_checks import Finding, check
from nutrients.labels import Basis
from nutrients.models import Food, FoodValue, Nutrient
from nutrients.units import WEIGHTS, convert

MOST = 1e9
LONGEST_REASON = 300
NOT_ENTERED = ("vitamin_a_usda",)  # counts carotenoids as people convert them: shown, never judged
SAVE = "save"
SAID_AS = {"amount": "", "low": ", at least", "high": ", at most"}


class KeptField(forms.MultipleChoiceField):
    """The warnings that were ticked, by their words: another warning needs a tick of its own."""

    def valid_value(self, value) -> bool:
        return True


@dataclass(frozen=True)
class Warned:
    message: str
    kept: bool


class CheckedForm(forms.Form):
    """What is impossible stands beside its field. A warning is kept with a tick and a reason."""

    kept = KeptField(required=False)
    reason = forms.CharField(
        required=False,
        max_length=LONGEST_REASON,
        label="Reason",
        help_text="Why a warning is kept, or why something is changed. It stays with the food.",
    )

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.warnings: list[Warned] = []

    def field_of(self, nutrient: str) -> str | None:
        """The name of the field that holds a nutrient's amount; None for the form as a whole."""
        return None

    def conclude(self, findings: Iterable[Finding], before: Iterable[Finding] = ()) -> None:
        """Refuse what is impossible, and ask for a reason where something is unlikely.

        before: findings that held already before anything was typed; they are not warned of again.
        """
        known = {finding.message for finding in before}
        ticked = self.cleaned_data.get("kept", [])
        for finding in findings:
            if finding.impossible:
                self.add_error(self.field_of(finding.nutrient), finding.message)
            elif finding.message not in known:
                self.warnings.append(Warned(finding.message, finding.message in ticked))
        if self.warnings and self.data.get("act") == SAVE:
            self._need_reason()

    def _need_reason(self) -> None:
        if not all(warning.kept for warning in self.warnings):
            self.add_error(None, "Look at the checks: mend the amount, or tick the warning and say why.")
        elif not self.cleaned_data.get("reason") and "reason" not in self.errors:
            self.add_error("reason", "Say why the warning is kept.")

    def kept_words(self) -> str:
        """What was kept although it was warned of, for the food's note."""
        reason = self.cleaned_data.get("reason", "")
        return "\n".join(f"Kept: {warning.message} Reason: {reason}" for warning in self.warnings)


@dataclass(frozen=True)
class Row:
    """A nutrient's line of the form."""

    nutrient: Nutrient
    amounts: tuple[BoundField, ...]
    unit: BoundField
    form: BoundField | None
    hint: str = ""

    @property
    def wrong(self) -> bool:
        return any(field.errors for field in (*self.amounts, self.unit, self.form) if field)

    @property
    def typed(self) -> bool:
        return any(field.value() for field in self.amounts)


@dataclass(frozen=True)
class RowGroup:
    title: str
    rows: list[Row]
    is_open: bool


class RowsForm(CheckedForm):
    """A line per nutrient: amount, unit, and the form where it matters."""

    kind = FoodValue.Kind.LABEL
    kind_words = "label"
    amount_names = ("amount",)
    first_title, first = "What most labels say", (
        "energy", "water", "protein", "fat", "saturated_fat", "carbohydrate", "fiber", "ash", "calcium",
        "phosphorus", "potassium", "sodium", "iron", "vitamin_d",
    )  # fmt: skip
    open_groups: tuple[str, ...] = ()

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.values: dict[str, FoodValue] = {}
        self.label_forms = queries.label_forms()
        stored = Nutrient.objects.filter(derived=False).exclude(key__in=NOT_ENTERED)
        self.nutrients = {nutrient.key: nutrient for nutrient in stored}
        for nutrient in self.nutrients.values():
            self._add_row(nutrient)

    def units_of(self, nutrient: Nutrient) -> list[str]:
        return labels.units_of(nutrient, self.label_forms)

    def _add_row(self, nutrient: Nutrient) -> None:
        for name in self.amount_names:
            self.fields[f"{nutrient.key}-{name}"] = NumberField(
                label=f"{nutrient.name}{SAID_AS[name]}",
                required=False,
                min_value=0,
                max_value=MOST,
                error_messages={"min_value": "An amount is 0 or more."},
            )
        units = self.units_of(nutrient)
        self._add_choice(nutrient, "unit", [(unit, unit) for unit in units])
        if known := labels.forms_of(nutrient, self.label_forms):
            names = dict.fromkeys(form.name for form in known)
            blank = "choose" if labels.needs_form(nutrient) else "itself"
            self._add_choice(nutrient, "form", [("", blank), *((name, name) for name in names)])
        for name in self.fields:
            if name.startswith(f"{nutrient.key}-"):
                self.fields[name].widget.attrs["aria-label"] = self.fields[name].label

    def _add_choice(self, nutrient: Nutrient, name: str, choices: list[tuple[str, str]]) -> None:
        self.fields[f"{nutrient.key}-{name}"] = forms.ChoiceField(
            label=f"{nutrient.name}: {name}", choices=choices, required=False
        )

    def field_of(self, nutrient: str) -> str | None:
        return f"{nutrient}-{self.amount_names[0]}" if nutrient else None

    # What the page shows

    def row(self, nutrient: Nutrient) -> Row:
        form = f"{nutrient.key}-form"
        return Row(
            nutrient,
            tuple(self[f"{nutrient.key}-{name}"] for name in self.amount_names),
            self[f"{nutrient.key}-unit"],
            self[form] if form in self.fields else None,
            self.hint_of(nutrient),
        )

    def hint_of(self, nutrient: Nutrient) -> str:
        return ""

    def row_groups(self) -> list[RowGroup]:
        """The common lines first, then the rest under their groups; what was typed in is shown open."""
        titles: dict[str, list[Row]] = {self.first_title: []} if self.first else {}
        for key in self.first:
            titles[self.first_title].append(self.row(self.nutrients[key]))
        for key, nutrient in self.nutrients.items():
            if key not in self.first:
                titles.setdefault(nutrient.group, []).append(self.row(nutrient))
        shown = (self.first_title, *self.open_groups)
        return [
            RowGroup(title, rows, title in shown or any(row.typed or row.wrong for row in rows))
            for title, rows in titles.items()
        ]

    def shown_values(self) -> list[FoodValue]:
        """What was worked out, in the nutrients' order."""
        return [self.values[key] for key in self.nutrients if key in self.values]

    # What follows from it

    def basis(self) -> Basis | None:
        """The weight that the amounts stand in; None, with an error at its field, while it is not known."""
        return labels.PER_100_G

    def clean(self):
        basis = self.basis()
        if basis:
            for nutrient in self.nutrients.values():
                self.read_row(nutrient, basis)
            self.complete(basis)
        self.conclude(*self.findings())
        return self.cleaned_data

    def complete(self, basis: Basis) -> None:
        """What follows from the lines together, or is still needed."""

    def findings(self) -> tuple[list[Finding], list[Finding]]:
        """The checks of what was typed, and those that held before."""
        return self.checks_of({key: value.per_100g for key, value in self.values.items()}), []

    def checks_of(self, amounts: Mapping[str, float]) -> list[Finding]:
        group = self.cleaned_data.get("group", "")
        return check(amounts, group, queries.group_medians(), self.nutrients)

    def read_row(self, nutrient: Nutrient, basis: Basis) -> None:
        """Put the line's value among `values`, or say beside its field why it cannot be read."""
        amount, unit, form = (self.typed(nutrient, name) for name in ("amount", "unit", "form"))
        if amount is None or not self.has_unit(nutrient):
            return
        if unit in WEIGHTS and convert(amount, unit, "g") > basis.grams * (1 + 1e-9):
            too_much = f"{labels.figure(amount)} {unit} cannot be in {basis.words}: check the unit."
            self.add_error(f"{nutrient.key}-amount", too_much)
            return
        try:
            reading = labels.read(amount, unit, form or "", nutrient, self.label_forms)
        except ValueError as problem:
            self.refuse(nutrient, problem)
            return
        found = labels.in_100g(reading, basis, nutrient.unit)
        self.put(nutrient, found.amount, found.words)

    def has_unit(self, nutrient: Nutrient) -> bool:
        unit = self.typed(nutrient, "unit")
        if unit == "":
            self.add_error(f"{nutrient.key}-unit", "In which unit?")
        return bool(unit)

    def typed(self, nutrient: Nutrient, name: str):
        return self.cleaned_data.get(f"{nutrient.key}-{name}")

    def refuse(self, nutrient: Nutrient, problem: ValueError) -> None:
        """Say at the form, or at the unit of a nutrient without forms, why the line cannot be read."""
        form = f"{nutrient.key}-form"
        self.add_error(form if form in self.fields else f"{nutrient.key}-unit", str(problem))

    def put(self, nutrient: Nutrient, per_100g: float, words: str) -> None:
        self.values[nutrient.key] = FoodValue(
            nutrient=nutrient, per_100g=per_100g, kind=self.kind, source=f"{self.kind_words}: {words}"
        )

    def need(self, key: str, message: str) -> None:
        """Say that a nutrient is needed, unless something is said beside it already."""
        field = self.field_of(key)
        row = [name for name in self.errors if name.startswith(f"{key}-")]
        if key not in self.values and not row:
            self.add_error(field, message)


class AboutFoodForm(forms.Form):
    """What a food is."""

    name = forms.CharField(
        max_length=200,
        error_messages={"required": "Give the food a name."},
        help_text="As you will look for it, with its state: “Barley flakes, cooked”.",
    )
    group = forms.ChoiceField(help_text="Decides what is usual for it and which nutrients it can carry.")
    state = forms.ChoiceField(
        choices=[("", "choose"), *((state.value, state.value) for state in Food.State)],
        error_messages={"required": "Raw, cooked, dried, canned or as sold?"},
    )
    retention_group = forms.ChoiceField(
        label="Cooks like", required=False, help_text="Which retention factors hold when it is cooked."
    )
    refuse_percent = NumberField(
        label="Refuse (%)",
        required=False,
        min_value=0,
        max_value=99,
        help_text="Peel, bone or core as bought.",
    )
    source = forms.CharField(
        required=False,
        max_length=100,
        label="Where the figures stand",
        help_text="Such as “400 g tin, lot 12” or the number of the report.",
    )
    note = forms.CharField(required=False, max_length=1000, widget=forms.Textarea(attrs={"rows": 2}))

    is_supplement = False

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        foods = Food.objects.filter(supplement__isnull=not self.is_supplement).order_by()
        groups = sorted(foods.values_list("group", flat=True).distinct())
        self.fields["group"].choices = [("", "choose"), *((group, group) for group in groups)]
        self.fields["group"].error_messages["required"] = "Choose the group it belongs to."
        if "retention_group" in self.fields:
            cooked = sorted(set(foods.values_list("retention_group", flat=True)) - {""})
            self.fields["retention_group"].choices = [("", "no factors fit"), *((x, x) for x in cooked)]

    def clean_name(self) -> str:
        """Names tell foods apart, whatever their capitals."""
        name = " ".join(self.cleaned_data["name"].split())
        if name_taken(name, except_pk=self.food_pk()):
            raise forms.ValidationError(f"Another food is called “{name}”: choose a name of its own.")
        return name

    def food_pk(self) -> int | None:
        """The food that may keep its name; None for a new one."""
        return None


def name_taken(name: str, except_pk: int | None) -> bool:
    return Food.objects.filter(name__iexact=name).exclude(pk=except_pk).exists()
