"""Approved substitutions in one dog's batch: may they be offered to its owner, and in what amounts? Pure.

Each is scaled like the batch, rounded, timed and judged again as a full recipe for this dog. One that would
be refused, or needs somebody's agreement that the plan itself does not need, is not offered.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from nutrients.language import say
from nutrients.owner_units import weight
from patients.agreements import newly_broken
from patients.batch import Batch, Grounds
from patients.cautions import BLOCK, SIGN_OFF, AppliedCaution
from patients.food_safety import safe_temperatures
from patients.plan_checks import avoided_sentence
from patients.plan_warnings import FAR_OFF
from patients.sheet.words import WHEN, bowl_amount, bowl_share, counted
from patients.timing import Dose
from patients.workings import Workings, cook, too_coarse
from recipes.analysis import IN_THE_BOWL
from recipes.differences import Differences, differences
from recipes.substitutions import Swap


@dataclass(frozen=True)
class Alternative:
    """One swap for this dog. batch None: it cannot be worked out. found: what changes against the plan.

    why_not: why it is not offered, empty when it is. for_owner: what the cook must mind beside the plan.
    """

    swap: Swap
    batch: Batch | None
    found: Differences | None
    why_not: tuple[str, ...]
    for_owner: tuple[str, ...] = ()

    @property
    def offered(self) -> bool:
        return not self.why_not


def alternative(
    workings: Workings,
    grounds: Grounds,
    swap: Swap,
    cautions: Sequence[AppliedCaution],
    discontinued: Sequence[str] = (),
) -> Alternative:
    """workings: of a plan that has a batch. grounds: the plan's, with the table of the swap's foods too.

    cautions: those that apply once the swap is made. discontinued: what to say of foods no longer bought.
    """
    new = [caution for caution in cautions if caution.subject not in {c.subject for c in workings.cautions}]
    why_not = [*_for_the_dog(workings, swap), *_forbidden(new), *discontinued]
    try:
        batch = cook(workings.plan, grounds, workings.recipe_kcal, swap)
    except ValueError as problem:
        return Alternative(swap, None, None, (*why_not, str(problem)))
    found = differences(workings.batch.strictest, batch.strictest)
    known = set(too_coarse(workings.batch, grounds))
    why_not += [sentence for sentence in too_coarse(batch, grounds) if sentence not in known]
    why_not += [*_energy(workings.batch, batch), *_answers(found)]
    why_not += newly_broken(workings.dog.agreements, workings.batch.analysis, batch.analysis)
    for_owner = tuple(caution.for_owner for caution in new if caution.for_owner)
    return Alternative(swap, batch, found, tuple(why_not), for_owner)


def _for_the_dog(workings: Workings, swap: Swap) -> list[str]:
    foods = {swap.portion.food: swap.portion.group}
    return [avoided_sentence(workings.dog, *found) + "." for found in workings.dog.avoided(foods)]


def _forbidden(cautions: Sequence[AppliedCaution]) -> list[str]:
    words = {BLOCK: "This must not be fed.", SIGN_OFF: "This needs the veterinarian's agreement."}
    return [
        f"{caution.subject}: {caution.text} (because of: {caution.because}). {words[caution.action]}"
        for caution in cautions
        if caution.action in words
    ]


def _energy(planned: Batch, batch: Batch) -> list[str]:
    off = batch.kcal_per_day / planned.kcal_per_day - 1
    if abs(off) <= FAR_OFF:
        return []
    return [f"It brings {abs(off) * 100:.0f} % {'more' if off > 0 else 'less'} energy than the plan."]


def _answers(found: Differences) -> list[str]:
    return [f"{each.sentence}." for each in found.keep_from_offering]


def told(alternatives: Sequence[Alternative], planned: Batch) -> list[dict]:
    """Those that are offered, as plain values for the sheet's record."""
    return [_told(each, planned) for each in alternatives if each.offered]


def _told(each: Alternative, planned: Batch) -> dict:
    swap, batch = each.swap, each.batch
    food, when = swap.portion.food, swap.portion.when
    use = _amounts(batch)[food]
    line = next(line for line in batch.scaled.lines if line.portion.food == food)
    dose = next((dose for dose in batch.doses if dose.food == food), None)
    hot = [safe for safe in _temperatures(batch) if safe not in _temperatures(planned)]
    return {
        "instead_of": say(swap.replaces),
        "food": say(food),
        "amount": use,
        "household": line.household,
        "buy_g": line.buy_g,
        "when": say(WHEN[dose.when if dose else when]),
        "in_bowl": dose is not None and dose.when == IN_THE_BOWL,
        "also": _changed_along(batch, planned, {food, swap.replaces}),
        "temperatures": [{"food": say(safe.food), "celsius": safe.celsius} for safe in hot],
        "for_owner": [say(sentence) for sentence in each.for_owner],
        "unconfirmed": [say(found.name) for found in each.found.newly_unconfirmed],
    }


def _temperatures(batch: Batch) -> list:
    return safe_temperatures(line.portion for line in batch.foods)


def _changed_along(batch: Batch, planned: Batch, itself: set[str]) -> list[dict]:
    """The other lines whose amount is not that of the plan: `amount` is empty for one that is left out."""
    now, before = _amounts(batch), _amounts(planned)
    return [
        {"food": say(food), "amount": now.get(food, ""), "not": amount}
        for food, amount in before.items()
        if food not in itself and now.get(food) != amount
    ]


def _amounts(batch: Batch) -> dict[str, str]:
    """Every food and supplement of a batch with what is weighed or counted of it."""
    grams: dict[str, float] = {}
    for line in batch.foods:
        grams[line.portion.food] = grams.get(line.portion.food, 0) + line.grams
    weighed = {food: weight(amount) for food, amount in grams.items()}
    return weighed | {dose.food: _dose(dose) for dose in batch.doses}


def _dose(dose: Dose) -> str:
    if dose.when != IN_THE_BOWL:
        return counted(dose.batch_amount, dose.dose_unit)
    return ", ".join(filter(None, (bowl_amount(dose), bowl_share(dose))))
