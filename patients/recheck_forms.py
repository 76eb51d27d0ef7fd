"""The form of a re-check. What was typed is kept; weight, BCS and faecal score are always taken anew."""

from datetime import date

from django import forms
from django.utils.text import slugify

from nutrients.fields import NumberField
from patients.energy import HIGHEST_KCAL
from patients.forms import VisitForm, check_next_recheck
from patients.models import Patient, Plan, TabletCount, Visit
from patients.models.rechecks import MOST_TABLETS
from patients.models.visits import MOST_FED_PERCENT
from patients.recheck_queries import counted_supplements, last_count
from patients.weight_forms import DATE

NOT_ASKED = "not asked"
YES_NO = (("", NOT_ASKED), ("no", "no"), ("yes", "yes"))
TOLD = ("leftovers", "liveliness", "coat", "water")


class FollowUpForm(VisitForm):
    """A visit of a dog that is on record."""

    vomiting = forms.TypedChoiceField(
        label="Vomiting since last time",
        choices=YES_NO,
        coerce=lambda answer: answer == "yes",
        empty_value=None,
        required=False,
    )
    fed_kcal = NumberField(
        label="Really fed: kcal a day", required=False, min_value=0, max_value=HIGHEST_KCAL,
        help_text="Everything together, extras too, as the owner tells it.",
    )  # fmt: skip
    fed_percent = NumberField(
        label="Or: % of the plan", required=False, min_value=0, max_value=MOST_FED_PERCENT,
        help_text="100 when the plan was kept to. Leave both empty when nobody knows.",
    )  # fmt: skip

    class Meta(VisitForm.Meta):
        fields = (*VisitForm.Meta.fields, *TOLD, "vomiting", "fed_kcal", "fed_percent", "questions")
        widgets = VisitForm.Meta.widgets | {"questions": forms.Textarea(attrs={"rows": 2})}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        for name in TOLD:
            choices = [choice for choice in self.fields[name].choices if choice[0]]
            self.fields[name].choices = [("", NOT_ASKED), *choices]
        kept = {True: "yes", False: "no"}.get(self.instance.vomiting, "")
        self.initial["vomiting"] = kept

    def clean(self):
        super().clean()
        if None not in (self.cleaned_data.get("fed_kcal"), self.cleaned_data.get("fed_percent")):
            self.add_error("fed_percent", "Tell what was fed in kcal or as a share of the plan, not both.")


class RecheckForm(FollowUpForm):
    """A new visit, with the day of the next one."""

    next_recheck = forms.DateField(label="Next re-check", required=False, widget=DATE)

    def clean_next_recheck(self):
        return check_next_recheck(self.cleaned_data["next_recheck"])


class TabletCountForm(forms.Form):
    had = NumberField(label="Had", required=False, min_value=0, max_value=MOST_TABLETS)
    left = NumberField(label="Left", required=False, min_value=0, max_value=MOST_TABLETS)

    def clean(self):
        if self.cleaned_data.get("left") is not None and self.cleaned_data.get("had", 0) is None:
            self.add_error("had", "Enter how many there were at the last count, with those bought since.")


class TabletCounts:
    """A row for each supplement that is counted. Rows of which nothing was counted are left out."""

    def __init__(self, data, rows: dict[str, dict]):
        self.rows = {
            what: TabletCountForm(data, prefix=f"tablets-{slugify(what)}", initial=found)
            for what, found in rows.items()
        }
        self.forms = list(self.rows.values())

    def is_valid(self) -> bool:
        answers = [form.is_valid() for form in self.forms]
        return all(answers)

    def counts(self) -> list[TabletCount]:
        """Not yet saved."""
        return [
            TabletCount(what=what, had=form.cleaned_data["had"], left=form.cleaned_data["left"])
            for what, form in self.rows.items()
            if form.cleaned_data["left"] is not None
        ]


def tablet_counts(
    data, patient: Patient, plan: Plan | None, on: date, visit: Visit | None = None
) -> TabletCounts:
    """For each of the plan's supplements that come in pieces, and for those that the visit counted.

    What was left at the last count is where the next one starts.
    """
    counted = {count.what: count for count in visit.tablet_counts.all()} if visit else {}
    before = {what: {"had": count.left} for what, count in last_count(patient, on).items()}
    kept = {what: {"had": count.had, "left": count.left} for what, count in counted.items()}
    named = dict.fromkeys([*counted_supplements(plan), *counted])
    return TabletCounts(data, {what: kept.get(what) or before.get(what, {}) for what in named})
