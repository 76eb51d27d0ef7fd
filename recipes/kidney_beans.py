"""Dry kidney beans are poisonous until they have boiled: what a recipe must say of it. Pure.

Phytohaemagglutinin, the lectin of raw kidney beans, is destroyed by boiling for 30 minutes; a slow cooker
stays below boiling and leaves the beans more toxic than raw ones (FDA, Bad Bug Book, phytohaemagglutinin;
from memory). Beans entered as cooked or canned have boiled before.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from recipes.analysis import COOKED_STATES, NOT_HEATED, Portion

SUBJECT = "raw kidney beans and other raw legumes"  # of the caution table
BOIL_MINUTES, BOIL_CELSIUS = 30, 100
SLOW_COOKED = ("slow_cooked_liquid_kept",)
POISONOUS = (
    f"Kidney beans are poisonous until they have boiled for {BOIL_MINUTES} minutes "
    "(FDA, Bad Bug Book: phytohaemagglutinin)."
)
WHAT_TO_DO = (
    "Put a kitchen step before the slow cooker that says to boil the soaked beans, with "
    f"{BOIL_MINUTES} minutes and {BOIL_CELSIUS} °C. Or use boiled or canned beans."
)
NAMED = re.compile(r"\bkidney beans?\b", re.IGNORECASE)
BEANS = re.compile(r"\bbeans?\b", re.IGNORECASE)
BOIL = re.compile(r"\b(re)?boil", re.IGNORECASE)
SLOW_COOKER = re.compile(r"\bslow[- ]?cook", re.IGNORECASE)


@dataclass(frozen=True)
class Step:
    """A kitchen step as it is written, in the recipe's order."""

    text: str
    minutes: float | None = None
    celsius: float | None = None

    @property
    def boils_beans(self) -> bool:
        """It says to boil the beans, takes 30 minutes or more and reaches 100 °C or more."""
        said = BEANS.search(self.text) and BOIL.search(self.text)
        long_enough, hot_enough = (self.minutes or 0) >= BOIL_MINUTES, (self.celsius or 0) >= BOIL_CELSIUS
        return bool(said) and long_enough and hot_enough


def are_dry(portion: Portion) -> bool:
    """Kidney beans that have not boiled before they come into the recipe, whatever their state is called."""
    return bool(NAMED.search(portion.food)) and portion.state not in COOKED_STATES


def boil_first(steps: Iterable[Step]) -> bool:
    """Does a step boil the beans before anything goes into a slow cooker?"""
    for step in steps:
        if step.boils_beans:
            return True
        if SLOW_COOKER.search(step.text):
            return False
    return False


def unboiled(portions: Sequence[Portion], method: str, steps: Iterable[Step]) -> list[str]:
    """A sentence for each dry kidney bean that must not be fed as the recipe stands.

    Refused when the recipe is slow-cooked, or the beans never meet the heat, and no step boils them first.
    Other methods carry the caution of the table alone.
    """
    if boil_first(steps):
        return []
    return [
        f"{portion.food}: {why}. {POISONOUS} {WHAT_TO_DO}"
        for portion in portions
        if are_dry(portion) and (why := _why(portion, method))
    ]


def _why(portion: Portion, method: str) -> str:
    if method == NOT_HEATED or not portion.meets_heat:
        return "they never meet the heat"
    return "a slow cooker does not boil them" if method in SLOW_COOKED else ""
