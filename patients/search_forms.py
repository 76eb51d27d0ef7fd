"""What may be asked of the list of dogs."""

from django import forms

from patients.models import Patient, Plan
from patients.stage_search import CHOICES as STAGE_CHOICES

LONGEST = 100
STATUSES = (
    ("", "in care"),
    (Patient.Status.ARCHIVED, "archived"),
    (Patient.Status.DECEASED, "deceased"),
    ("all", "all"),
)  # fmt: skip
WAITS = (
    ("", "anything"), ("recheck", "overdue re-check"), ("plan", "no plan"), ("sheet", "expired sheet"),
)  # fmt: skip
ORDERS = (("", "name"), ("owner", "owner"), ("recheck", "next re-check"), ("newest", "newest first"))


def asked_words(asked) -> str:
    """What is looked for, from the address."""
    return asked.get("q", "").replace("\0", "").strip()[:LONGEST]


class PatientSearchForm(forms.Form):
    """Read from the address: what is not understood is passed over, never refused."""

    q = forms.CharField(label="Dog, breed, owner, phone, condition", required=False)
    status = forms.ChoiceField(label="Show", choices=STATUSES, required=False)
    stage = forms.ChoiceField(label="Life stage", choices=[("", "any"), *STAGE_CHOICES], required=False)
    goal = forms.ChoiceField(label="Goal", choices=[("", "any"), *Plan.Goal.choices], required=False)
    waits = forms.ChoiceField(label="Waiting for", choices=WAITS, required=False)
    order = forms.ChoiceField(label="In order of", choices=ORDERS, required=False)

    def wanted(self) -> dict:
        """The filters as `patients.search.filtered` takes them."""
        self.is_valid()
        found = dict(self.cleaned_data)
        found["status"] = {"": Patient.Status.ACTIVE, "all": ""}.get(
            found.get("status", ""), found.get("status")
        )
        return found

    @property
    def words(self) -> str:
        return asked_words(self.data)

    @property
    def narrows(self) -> bool:
        """Is more asked than all dogs in care?"""
        return bool(self.words) or any(self.data.get(name) for name in ("status", "stage", "goal", "waits"))
