"""Forms of the contact log and the tasks of an owner."""

from django import forms
from django.core.exceptions import ValidationError
from django.db import models
from django.utils import timezone

from patients.models import Contact, Owner, Patient, Task
from patients.weight_forms import DATE

MINUTE = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")


class _AboutADog(forms.ModelForm):
    """`patient`: one of the owner's dogs, or all of them."""

    def __init__(self, data=None, *, owner: Owner, instance: models.Model | None = None):
        model = self._meta.model
        super().__init__(data, instance=instance or model(owner=owner), prefix=model._meta.model_name)
        meant = Patient.objects.filter(pk=self.instance.patient_id)  # by now with another owner, perhaps
        self.fields["patient"].queryset = owner.patients.kept() | meant
        self.fields["patient"].empty_label = "all dogs"
        self.fields["patient"].label = "About"


class ContactForm(_AboutADog):
    class Meta:
        model = Contact
        fields = ("kind", "at", "patient", "text")
        labels = {"kind": "How", "at": "When"}
        widgets = {"at": MINUTE, "text": forms.Textarea(attrs={"rows": 3})}

    def clean_at(self):
        at, before = self.cleaned_data["at"], self.instance.at
        if self.instance.pk and at == before.replace(second=0, microsecond=0):
            return before  # the field shows minutes: nothing was changed
        if at > timezone.now():
            raise ValidationError("This lies in the future: enter when it was said, or add a task.")
        return at


class TaskForm(_AboutADog):
    class Meta:
        model = Task
        fields = ("text", "due", "patient")
        widgets = {"due": DATE}
