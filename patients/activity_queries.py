"""Everything that was done to a dog's record, its owner's and what hangs on them, from their histories."""

from datetime import datetime
from itertools import groupby

from django.db import models
from django.utils import timezone

from patients.activity import Event, changes, told
from patients.belongings import belongings, with_merged
from patients.models import Owner, Patient

DID = {"+": "added", "~": "changed", "-": "removed"}
NOT_TOLD = {"id", "patient"}  # which record it is stands beside the event


def events_of(patient: Patient) -> list[Event]:
    """The newest first. A save that changed nothing is left out."""
    pasts = [(Patient, Patient.history.filter(id__in=[each.pk for each in with_merged(patient)]))]
    pasts.append((Owner, Owner.history.filter(id=patient.owner_id)))
    pasts += [
        (each.model, each.history_of(patient)) for each in belongings(Patient) if each.past and each.is_direct
    ]
    found = [event for model, past in pasts for event in _events(model, past)]
    return sorted(found, key=lambda event: event.at, reverse=True)


def events_of_one(record: models.Model) -> list[Event]:
    """What was done to one record, the newest first."""
    return list(reversed(_events(type(record), record.history.all())))


def _events(model: type[models.Model], past: models.QuerySet) -> list[Event]:
    fields = [field for field in model._meta.concrete_fields if field.name not in NOT_TOLD]
    keys = [field.name for field in fields if isinstance(field, models.ForeignKey)]
    states = past.select_related("history_user", *keys).order_by("id", "history_date", "history_id")
    found = []
    for _, of_one in groupby(states, key=lambda state: state.id):
        before = None
        for state in of_one:
            event = _event(model, state, before, fields)
            found += [event] if event else []
            before = state
    return found


def _event(model, state, before, fields) -> Event | None:
    did = DID[state.history_type]
    now = _values(state, fields)
    if did == "changed" and before is not None:
        differing = changes(_values(before, fields), now)
        if not differing:
            return None
    else:
        differing = told(now)
    who = state.history_user
    return Event(
        at=state.history_date,
        who=(who.get_full_name() or who.get_username()) if who else "the program",
        did=did,
        what=str(model._meta.verbose_name),
        changes=differing,
        reason=state.history_change_reason or "",
    )


def _values(state, fields) -> dict[str, object]:
    """Label -> value, a choice by its words and another record by its name."""
    return {str(field.verbose_name).capitalize(): _value(state, field) for field in fields}


def _value(state, field: models.Field):
    value = getattr(state, field.name)
    if isinstance(field, models.ForeignKey):
        return str(value) if value else None
    if isinstance(value, datetime):
        return timezone.localtime(value)
    return dict(field.flatchoices).get(value, value) if field.choices else value
