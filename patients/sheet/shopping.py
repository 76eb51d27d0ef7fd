"""The part of a sheet's record about shopping: by aisle, for a batch and a month, and what it costs. Pure."""

from nutrients.language import number, say
from nutrients.owner_units import weight
from patients.sheet.words import counted
from patients.shopping import Item, Shopping


def shopping_part(found: Shopping, currency: str) -> dict:
    """Weights in g. cost: a sentence, empty without any price."""
    return {
        "batches": found.batches,
        "aisles": [[say(aisle), [_item(item) for item in items]] for aisle, items in found.by_aisle()],
        "priced": any(item.packs for item in found.items),
        "cost": cost_sentence(found, currency),
    }


def _item(item: Item) -> dict:
    return {
        "food": say(item.food),
        "batch": _amount(item, item.batch_g, item.batch_doses),
        "month": _amount(item, item.month_g, item.month_doses),
        "packs": item.packs,
        "waste_unknown": item.waste_unknown,
    }


def _amount(item: Item, grams: float, doses: float | None) -> str:
    if doses is not None:
        return counted(round(doses, 2), item.dose_unit)
    return weight(round(grams))


def cost_sentence(found: Shopping, currency: str) -> str:
    """Such as `A day costs 2.40, 1000 kcal cost 3.75.`; with an unknown price, at least so much."""
    if found.cost_per_day is None:
        return ""
    known = {
        "day": number(found.cost_per_day, 2),
        "kcal": number(found.cost_per_1000_kcal, 2),
        "currency": currency,
    }
    if not found.unpriced:
        said = say("A day of this food costs about {day} {currency}, 1000 kcal cost {kcal} {currency}.")
        return _tidy(said.format(**known))
    said = say(
        "A day of this food costs at least {day} {currency}, 1000 kcal at least {kcal} {currency}. "
        "No price is known of: {foods}."
    )
    return _tidy(said.format(foods=", ".join(map(say, found.unpriced)), **known))


def _tidy(text: str) -> str:
    """Without the gaps that a practice leaves that never said its currency."""
    return text.replace(" ,", ",").replace(" .", ".")
