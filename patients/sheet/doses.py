"""The parts of a sheet's record about supplements, and about what must not be left out. Pure."""

from collections.abc import Sequence

from nutrients.language import say
from patients.leave_in import LeaveIn
from patients.sheet.words import WHEN, WHEN_ORDER, bowl_amount, bowl_share, counted
from patients.timing import Dose
from recipes.analysis import IN_THE_BOWL


def by_moment(doses: Sequence[Dose]) -> list[dict]:
    """The doses under the moment they go in and the reason for it, in kitchen order."""
    moments = dict.fromkeys((dose.when, dose.why) for dose in doses)
    return [
        {
            "when": say(WHEN[when]),
            "why": why,
            "doses": [_dose(dose) for dose in doses if (dose.when, dose.why) == (when, why)],
        }
        for when, why in sorted(moments, key=lambda moment: WHEN_ORDER.index(moment[0]))
    ]


def _dose(dose: Dose) -> dict:
    in_bowl = dose.when == IN_THE_BOWL
    return {
        "food": dose.food,
        "amount": bowl_amount(dose) if in_bowl else counted(dose.batch_amount, dose.dose_unit),
        "share": bowl_share(dose) if in_bowl else "",
        "per_batch": counted(dose.batch_amount, dose.dose_unit),
    }


def leave_in_part(found: LeaveIn) -> dict:
    return {
        "supplements": found.supplements,
        "lines": [{"food": food, "sentence": sentence} for food, sentence in found.lines],
        "no_limit": list(found.no_limit),
    }
