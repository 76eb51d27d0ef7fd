"""The parts of a sheet's record about cautions, nutrients and the veterinarian's agreement. Pure."""

from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from datetime import date

from nutrients.adequacy_table import AdequacyRow, grouped_rows
from nutrients.language import say
from patients.batch import Batch
from patients.sheet.words import amount_of
from patients.workings import Workings


@dataclass(frozen=True)
class SignOff:
    """The veterinarian's agreement, as a practitioner recorded it."""

    veterinarian: str
    clinic: str
    on: date
    covers: tuple[str, ...]


def cautions_part(workings: Workings) -> list[dict]:
    return [
        {
            "subject": caution.subject,
            "action": caution.action,
            "text": caution.text,
            "because": caution.because,
            "for_owner": caution.for_owner,
        }
        for caution in workings.cautions
    ]


def adequacy_part(workings: Workings, batch: Batch) -> dict:
    """The rows as judged for this dog, and per group which nutrients have which answer."""
    profile = workings.profile
    groups = grouped_rows(batch.strictest, batch.analysis.estimated)
    rows = [row for _, rows in groups for row in rows]
    return {
        "for_dog": batch.for_dog is not None,
        "groups": [[group, [asdict(row) for row in rows]] for group, rows in groups],
        "summary": [_summary(group, rows) for group, rows in groups],
        "missing": _by_foods((row.name, row.missing) for row in rows if _is(row, "cannot_confirm")),
        "estimated": _by_foods((row.name, row.estimated) for row in rows if row.estimated),
        "profile": {
            "name": profile.name.replace(profile.life_stage, say(profile.life_stage)),
            "edition": profile.edition,
            "life_stage": say(profile.life_stage),
        },
    }


def _summary(group: str, rows: Sequence[AdequacyRow]) -> dict:
    return {
        "group": say(group),
        "met": [amount_of(row) for row in rows if not row.open],
        "off": [amount_of(row) for row in rows if _is(row, "below") or _is(row, "above")],
        "unconfirmed": [amount_of(row) for row in rows if _is(row, "cannot_confirm")],
    }


def _by_foods(concerned: Iterable[tuple[str, tuple[str, ...]]]) -> list[dict]:
    """Nutrients, each with the foods concerned, told once for the same foods."""
    by_foods: dict[tuple[str, ...], list[str]] = {}
    for name, foods in concerned:
        by_foods.setdefault(foods, []).append(say(name))
    return [{"foods": [say(food) for food in foods], "nutrients": names} for foods, names in by_foods.items()]


def _is(row: AdequacyRow, answer: str) -> bool:
    return any(word.answer == answer for word in row.answers)


def sign_off_part(sign_off: SignOff | None) -> dict | None:
    if sign_off is None:
        return None
    return {
        "veterinarian": sign_off.veterinarian,
        "clinic": sign_off.clinic,
        "on": sign_off.on.isoformat(),
        "covers": list(sign_off.covers),
    }
