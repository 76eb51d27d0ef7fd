"""Records that are likely of one dog, or of one owner."""

from collections import defaultdict
from collections.abc import Hashable, Iterable
from dataclasses import dataclass

from patients.models import Owner, Patient
from patients.phones import number_key


@dataclass(frozen=True)
class Pair:
    first: Patient | Owner
    second: Patient | Owner
    why: str


def likely_dogs(about: Patient | None = None) -> list[Pair]:
    """Of all records, or those with one of them, which comes first."""
    rows = Patient.objects.kept().values_list("pk", "owner", "name", "microchip", "born")
    keys = []
    for pk, owner, name, microchip, born in rows.order_by("pk"):
        called = name.strip().casefold()
        keys.append((pk, "the same microchip", microchip))
        keys.append((pk, "the same owner and name", called and (owner, called)))
        keys.append((pk, "the same name and birth date", called and (called, born)))
    return _pairs(Patient.objects.select_related("owner"), keys, about)


def likely_owners(about: Owner | None = None) -> list[Pair]:
    rows = Owner.objects.kept().values_list("pk", "name", "email", "phone", "second_phone").order_by("pk")
    keys = []
    for pk, name, email, *phones in rows:
        keys += [(pk, "the same phone number", number_key(phone)) for phone in phones]
        keys.append((pk, "the same e-mail", email.strip().casefold()))
        keys.append((pk, "the same name", name.strip().casefold()))
    return _pairs(Owner.objects.all(), keys, about)


def _pairs(records, keys: Iterable[tuple[int, str, Hashable]], about) -> list[Pair]:
    """Each record with every other one of the same key; the reasons for one pair together."""
    alike = defaultdict(list)
    for pk, why, key in keys:
        if key and pk not in alike[why, key]:
            alike[why, key].append(pk)
    reasons = defaultdict(list)
    for (why, _), pks in alike.items():
        for first, second in _of_two(pks, about):
            reasons[first, second].append(why)
    found = records.in_bulk({pk for pair in reasons for pk in pair})
    return [Pair(found[a], found[b], ", ".join(why)) for (a, b), why in sorted(reasons.items())]


def _of_two(pks: list[int], about) -> list[tuple[int, int]]:
    if about is None:
        return [(pks[0], other) for other in pks[1:]]
    return [(about.pk, other) for other in pks if other != about.pk] if about.pk in pks else []
