"""Whether a newer version of its recipe stands approved, on a plan's page."""

from django import template

from patients.models import Plan
from patients.newer_versions import outdated, plans_behind

register = template.Library()


@register.inclusion_tag("patients/_newer_version.html", takes_context=True)
def newer_version(context, plan: Plan):
    return {"found": outdated(plans_behind().filter(pk=plan.pk)), "perms": context["perms"]}
