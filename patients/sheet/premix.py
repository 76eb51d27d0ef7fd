"""The part of a sheet's record about a month's powders, weighed once and mixed. Pure."""

from nutrients.language import later, number, plain, say
from patients.premix import Weighing
from patients.workings import Workings

CARRIER = later("fine rice flour")  # common practice, no source: weighs like the powders and changes little


def premix_part(workings: Workings) -> dict | None:
    """None without a premix. Weights in g."""
    found = workings.premix
    if found is None:
        return None
    return {
        "batches": found.batches,
        "scale_step_g": float(workings.plan.scale),
        "per_batch_g": found.per_batch_g,
        "total_g": round(found.total_g, 3),
        "weighings": [_weighing(each) for each in found.weighings],
        "too_weak": _too_weak(found.too_weak),
    }


def _weighing(each: Weighing) -> dict:
    return {
        "food": say(each.food),
        "grams": each.weigh_g,
        "off_percent": number(each.off_percent, 1),
        "dilute": _dilute(each) if each.dilute else "",
    }


def _dilute(each: Weighing) -> str:
    powder, carrier = each.dilute
    first = say(
        "First mix {powder} g of it well with {carrier} g of {flour}. Take the weight from this mixture."
    )
    return first.format(powder=plain(powder), carrier=plain(carrier), flour=say(CARRIER))


def _too_weak(foods: tuple[str, ...]) -> str:
    if not foods:
        return ""
    leave = say(
        "Your scale cannot weigh so little of {foods}, even mixed. Weigh it for each batch on a finer scale."
    )
    return leave.format(foods=", ".join(map(say, foods)))
