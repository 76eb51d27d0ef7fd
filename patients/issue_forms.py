"""The forms that issue a take-home sheet, several at once, and withdraw one."""

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from patients.issuing import Gate
from patients.models import Patient, Plan, SheetWithdrawal
from patients.queries import sheets_of
from patients.services import SAY_WHY
from patients.sheet.answers import SignOff


class IssueForm(forms.Form):
    """Asks only for what the gate needs, and for the reason when the dog has a sheet already."""

    reason = forms.CharField(
        label="Why a new sheet",
        max_length=200,
        help_text="Stands on top of the new sheet, for the owner: “Juniper has lost weight”.",
        error_messages={"required": SAY_WHY},
    )
    acknowledged = forms.BooleanField(
        label="I have read this and accept it",
        error_messages={"required": "Read the points above, and tick that you accept them."},
    )
    veterinarian = forms.CharField(
        max_length=120, error_messages={"required": "Enter the veterinarian who agreed."}
    )
    clinic = forms.CharField(max_length=120, error_messages={"required": "Enter the veterinarian's clinic."})
    signed_off_on = forms.DateField(
        label="Agreed on",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"required": "Enter the day of the agreement."},
    )

    def __init__(self, data=None, *, gate: Gate, patient: Patient):
        super().__init__(data, initial={"veterinarian": patient.veterinarian, "clinic": patient.clinic})
        self.gate = gate
        if not sheets_of(patient).exists():
            del self.fields["reason"]
        if not gate.needs_tick:
            del self.fields["acknowledged"]
        if not gate.sign_off_for:
            for name in ("veterinarian", "clinic", "signed_off_on"):
                del self.fields[name]

    def clean_signed_off_on(self):
        day = self.cleaned_data["signed_off_on"]
        if day > timezone.localdate():
            raise ValidationError("This day lies in the future.")
        return day

    @property
    def is_acknowledged(self) -> bool:
        return self.cleaned_data.get("acknowledged", False)

    @property
    def sign_off(self) -> SignOff | None:
        found = self.cleaned_data
        if not self.gate.sign_off_for:
            return None
        return SignOff(found["veterinarian"], found["clinic"], found["signed_off_on"], self.gate.sign_off_for)


class WithdrawSheetForm(forms.ModelForm):
    class Meta:
        model = SheetWithdrawal
        fields = ("reason",)
        error_messages = {"reason": {"required": "Say why it must not be used any more."}}


class SeveralForm(forms.Form):
    """Which of the plans that ask nothing are issued together."""

    chosen = forms.MultipleChoiceField(
        label="Plans to issue",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Tick at least one plan."},
    )
    reason = forms.CharField(
        label="Why new sheets", max_length=200, required=False,
        help_text="For the dogs that have a sheet already: it stands on top of the new one.",
    )  # fmt: skip

    def __init__(self, data=None, *, candidates):
        super().__init__(data)
        self.candidates = {str(each.plan.pk): each for each in candidates}
        self.fields["chosen"].choices = [
            (key, f"{each.plan}{', has a sheet already' if each.is_anew else ''}")
            for key, each in self.candidates.items()
        ]
        self.fields["chosen"].initial = list(self.candidates)

    @property
    def plans(self) -> list[Plan]:
        return [self.candidates[key].plan for key in self.cleaned_data["chosen"]]

    def clean(self):
        super().clean()
        chosen = self.cleaned_data.get("chosen", ())
        if any(self.candidates[key].is_anew for key in chosen) and not self.cleaned_data.get("reason"):
            self.add_error("reason", SAY_WHY)
