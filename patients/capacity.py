"""Cooker capacity: does a batch fit its vessel, and how is it divided when it does not. Pure calculation."""

import math
from dataclasses import dataclass

from nutrients.language import number, say
from nutrients.owner_units import volume

LITRES_PER_KG = 1.0  # common practice, no source: raw moist food and water fill about a litre a kilogram
# USDA FSIS, "Slow Cookers and Food Safety": no less than half full and no more than two-thirds full.
LEAST_FULL, MOST_FULL = 1 / 2, 2 / 3
ROUNDING = 1e-9  # two-thirds of a vessel is not to spill over into a second one


@dataclass(frozen=True)
class Filling:
    """A raw batch with its water in pots of one size, evenly. full: share (0..1) of each that it fills."""

    vessel_litres: float
    litres: float
    pots: int

    @property
    def full(self) -> float:
        return self.litres / self.pots / self.vessel_litres

    @property
    def divided(self) -> bool:
        return self.pots > 1

    @property
    def too_empty(self) -> bool:
        return self.full < LEAST_FULL - ROUNDING


def litres_of(in_pot_g: float) -> float:
    """What raw food and water [g] take up."""
    return in_pot_g / 1000 * LITRES_PER_KG


def filling(in_pot_g: float, vessel_litres: float) -> Filling:
    """The fewest pots in which food and water [g] stay at or below two-thirds.

    Raises ValueError when the weight or the vessel is not above 0.
    """
    for what, value in (("batch", in_pot_g), ("vessel", vessel_litres)):
        if not (math.isfinite(value) and value > 0):
            raise ValueError(f"A {what} of {value:g} cannot be fitted: it must be above 0.")
    litres = litres_of(in_pot_g)
    return Filling(vessel_litres, litres, math.ceil(litres / (vessel_litres * MOST_FULL) - ROUNDING))


def smallest_vessel(litres: float) -> float:
    """The vessel [litres] that so much food and water fills to two-thirds."""
    return litres / MOST_FULL


def needed(litres: float) -> str:
    """What to say while nobody told the vessel's size."""
    wanted = say("This batch needs a pot of {volume} or more: fill it to two-thirds.")
    return wanted.format(volume=volume(smallest_vessel(litres), upwards=True))


def describe(found: Filling) -> str:
    """How a batch fills its vessel, and what follows."""
    said = {
        "share": number(found.full * 100),
        "pots": found.pots,
        "volume": volume(found.vessel_litres),
    }
    if found.divided:
        text = say(
            "This batch is too much for one pot of {volume}. Divide it evenly into {pots} pots, "
            "or cook one after the other: each is then {share} % full."
        )
    else:
        text = say("This batch fills a pot of {volume} to {share} %.")
    sentences = [text.format(**said)]
    if found.too_empty:
        sentences.append(
            say("A pot less than half full cooks faster: check it early, or take a smaller one.")
        )
    return " ".join(sentences)
