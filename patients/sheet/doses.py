"""The parts of a sheet's record about supplements, and about what must not be left out. Pure."""

from collections.abc import Iterable, Mapping, Sequence

from nutrients.language import inside, later, say
from patients.alternatives import Alternative
from patients.leave_in import LeaveIn
from patients.sheet.words import WHEN, WHEN_ORDER, bowl_amount, bowl_share, counted
from patients.supplement_schedule import Supply, supplies
from patients.timing import Dose
from patients.workings import Workings
from recipes.analysis import IN_THE_BOWL

# How each dose unit is measured; common practice, no source.
MEASURED = {
    "g": later("on the scale"),
    "mg": later("on a fine scale"),
    "ml": later("with an oral syringe"),
    "drop": later("drop by drop"),
    "tablet": later("counted; break or crush it"),
    "capsule": later("counted; open it if the label allows"),
    "scoop": later("with its own scoop, level"),
}


def by_moment(doses: Sequence[Dose], told: Mapping[str, dict] | None = None) -> list[dict]:
    """The doses under the moment they go in and the reason for it, in kitchen order.

    told: supplement -> what else is told of it.
    """
    moments = dict.fromkeys((dose.when, dose.why) for dose in doses)
    return [
        {
            "when": say(WHEN[when]),
            "why": say(why),
            "doses": [
                _dose(dose) | (told or {}).get(dose.food, {})
                for dose in doses
                if (dose.when, dose.why) == (when, why)
            ],
        }
        for when, why in sorted(moments, key=lambda moment: WHEN_ORDER.index(moment[0]))
    ]


def schedule_part(workings: Workings, leave_in: LeaveIn, alternatives: Iterable[Alternative]) -> list[dict]:
    """The doses by moment, with what each brings, what a month takes and what may stand in for it."""
    batch = workings.batch
    without = dict(leave_in.lines)
    instead: dict[str, list[str]] = {}
    for each in alternatives:
        instead.setdefault(each.swap.replaces, []).append(each.swap.portion.food)
    units = {dose.food: dose.dose_unit for dose in batch.doses}
    told = {
        supply.food: _supply(supply, units[supply.food])
        | {
            "without": without.get(supply.food, ""),
            "instead": [say(food) for food in instead.get(supply.food, [])],
        }
        for supply in supplies(batch, workings.batches_a_month)
    }
    return by_moment(batch.doses, told)


def _dose(dose: Dose) -> dict:
    in_bowl = dose.when == IN_THE_BOWL
    return {
        "food": say(dose.food),
        "amount": bowl_amount(dose) if in_bowl else counted(dose.batch_amount, dose.dose_unit),
        "share": bowl_share(dose) if in_bowl else "",
        "per_batch": counted(dose.batch_amount, dose.dose_unit),
    }


def _supply(supply: Supply, unit: str) -> dict:
    day = say("{amount} a day").format(amount=counted(round(supply.day_amount, 2), unit))
    return {
        "form": say(supply.form),
        "measured": say(MEASURED.get(unit, "")) if unit in MEASURED else "",
        "carries": [inside(say(name)) for name in supply.carries],
        "per_day": day,
        "per_month": counted(supply.month_amount, unit),
    }


def leave_in_part(found: LeaveIn) -> dict:
    return {
        "supplements": found.supplements,
        "lines": [{"food": say(food), "sentence": sentence} for food, sentence in found.lines],
        "no_limit": [say(food) for food in found.no_limit],
    }
