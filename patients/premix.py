"""The premix card: the powders of a month weighed once, and mixed. Pure calculation.

Only heat-stable powders that go into the cooled batch are mixed: they keep. What the owner's scale cannot
resolve is first diluted: a weighable amount is mixed into a carrier, and an aliquot of that is weighed.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from patients.timing import STABLE, Dose
from recipes.analysis import COOLED_BATCH

WITHIN_PERCENT = 5  # common practice, no source: a weighing may be off by so much at most
MOST_DILUTION = 100  # common practice, no source: beyond, a weaker product is wanted
POWDER_UNIT = "g"
AT_LEAST = 2  # one powder alone needs no mixing


@dataclass(frozen=True)
class Weighing:
    """One powder of a premix, in g. weigh: what goes on the scale, of the powder or of its dilution.

    dilute: (powder, carrier), both weighed, to make the dilution from; None where the powder is weighed as
    it is. off_percent: what the scale's step may be off by.
    """

    food: str
    needed_g: float
    weigh_g: float
    off_percent: float
    dilute: tuple[float, float] | None = None


@dataclass(frozen=True)
class Premix:
    """Powders for `batches` batches. per_batch_g: of the mixture, to the scale's step. too_weak: foods that
    the scale cannot measure even diluted.
    """

    batches: int
    weighings: tuple[Weighing, ...]
    per_batch_g: float
    too_weak: tuple[str, ...]

    @property
    def total_g(self) -> float:
        return sum(each.weigh_g for each in self.weighings)


def smallest_weighable(scale_step_g: float) -> float:
    """The weight [g] of which half the scale's step is 5 %."""
    return scale_step_g / 2 / (WITHIN_PERCENT / 100)


def premix(doses: Sequence[Dose], batches: int, scale_step_g: float) -> Premix | None:
    """The powders of `batches` batches, as rounded in the plan; None when there are fewer than two.

    Raises ValueError when the batches or the scale's step are not above 0.
    """
    if batches < 1 or not (math.isfinite(scale_step_g) and scale_step_g > 0):
        raise ValueError("A premix needs at least one batch and a scale with a step above 0 g.")
    powders = {dose.food: dose.grams_per_batch * batches for dose in doses if _is_powder(dose)}
    if len(powders) < AT_LEAST:
        return None
    weighings = [_weighing(food, grams, scale_step_g) for food, grams in powders.items()]
    possible = tuple(each for each in weighings if each)
    if not possible:
        return None
    per_batch = sum(each.weigh_g for each in possible) / batches
    return Premix(batches, possible, _to_step(per_batch, scale_step_g), _left(powders, possible))


def _is_powder(dose: Dose) -> bool:
    return dose.dose_unit == POWDER_UNIT and dose.when == COOLED_BATCH and dose.heat == STABLE


def _weighing(food: str, grams: float, step: float) -> Weighing | None:
    """None when a dilution would have to be stronger than MOST_DILUTION."""
    smallest = smallest_weighable(step)
    if grams >= smallest:
        return Weighing(food, grams, _to_step(grams, step), step / 2 / grams * 100)
    strength = math.ceil(smallest / grams)
    if strength > MOST_DILUTION:
        return None
    powder = _to_step(smallest, step)
    aliquot = grams * strength
    return Weighing(
        food, grams, _to_step(aliquot, step), step / 2 / aliquot * 100, (powder, powder * (strength - 1))
    )


def _left(powders: Mapping[str, float], possible: Sequence[Weighing]) -> tuple[str, ...]:
    weighed = {each.food for each in possible}
    return tuple(food for food in powders if food not in weighed)


def _to_step(grams: float, step: float) -> float:
    return round(max(1, round(grams / step)) * step, 6)
