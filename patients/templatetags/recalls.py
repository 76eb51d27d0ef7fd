"""What a correction means for one dog and for one sheet, on their pages."""

from django import template

from patients.models import Patient, Recall, RecallCall, Sheet

register = template.Library()


@register.simple_tag
def calls_to_make(patient: Patient) -> list[RecallCall]:
    """Corrections of which the owner was not told yet."""
    return list(RecallCall.objects.to_make().filter(patient=patient).select_related("recall"))


@register.simple_tag
def recalls_of(sheet: Sheet) -> list[Recall]:
    """Corrections after which the sheet's answers do not hold any more."""
    return list(Recall.objects.filter(calls__sheet=sheet).defer("touched"))
