"""Whose a dog was before, and which dogs an owner gave away: read from the history of the dogs."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from patients.models import Owner, Patient


@dataclass(frozen=True)
class GivenOver:
    """A dog's change of owner. why: the day and the reason, as they were told; at: when it was entered."""

    dog: Patient
    before: Owner | None
    after: Owner | None
    why: str
    at: datetime


def changes_of_owner(dog: Patient) -> list[GivenOver]:
    """The newest first."""
    return _changes([dog])


def given_away(owner: Owner) -> list[GivenOver]:
    """The dogs that were this owner's and went to somebody else."""
    past = Patient.history.filter(owner=owner).order_by().values_list("id", flat=True)
    dogs = Patient.objects.kept().filter(pk__in=past)
    return [change for change in _changes(dogs) if change.before == owner]


def _changes(dogs: Iterable[Patient]) -> list[GivenOver]:
    by_pk = {dog.pk: dog for dog in dogs}
    states = list(Patient.history.filter(id__in=by_pk).order_by("id", "history_date", "history_id"))
    turns = [
        (before, now)
        for before, now in zip(states, states[1:], strict=False)
        if before.id == now.id and before.owner_id != now.owner_id
    ]
    owners = Owner.objects.in_bulk({state.owner_id for turn in turns for state in turn}) if turns else {}
    found = [
        GivenOver(
            dog=by_pk[now.id],
            before=owners.get(before.owner_id),
            after=owners.get(now.owner_id),
            why=now.history_change_reason or "",
            at=now.history_date,
        )
        for before, now in turns
    ]
    return found[::-1]
