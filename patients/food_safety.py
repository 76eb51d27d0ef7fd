"""How hot food must get, how it is warmed again, and how a dog changes over to it. Pure.

How long food keeps stands in `patients.portions.KEEPING`.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from nutrients.language import later
from nutrients.units import fahrenheit
from recipes.analysis import Portion


@dataclass(frozen=True)
class SafeTemperature:
    """The temperature [°C] that the middle of a food must reach, and how long it then rests [minutes]."""

    food: str
    celsius: float
    rest_minutes: int = 0

    @property
    def fahrenheit(self) -> int:
        return fahrenheit(self.celsius)


# USDA Food Safety and Inspection Service (FSIS), safe minimum internal temperatures, from memory.
POULTRY = SafeTemperature(later("poultry, also ground"), 74)
GROUND = SafeTemperature(later("ground meat"), 71)
ORGANS = SafeTemperature(later("liver, heart and other organs"), 71)
WHOLE_CUTS = SafeTemperature(later("whole cuts of meat"), 63, rest_minutes=3)
FISH = SafeTemperature(later("fish and shellfish"), 63)
EGGS = SafeTemperature(later("eggs"), 71)
REHEATED = SafeTemperature(later("food warmed again"), 74)

POULTRY_WORDS = ("chicken", "turkey", "duck", "goose", "quail")
BY_GROUP = {"organ": ORGANS, "fish & shellfish": FISH, "egg": EGGS, "muscle meat": WHOLE_CUTS}

CHANGEOVER_DAYS = 10  # common practice, no source: 7 to 10 days


@dataclass(frozen=True)
class ChangeoverStep:
    """Days of a change of food, with the shares of the new food and the old [percent]."""

    name: str
    days: range
    new: int
    old: int


# Common practice, no source.
CHANGEOVER = (
    ChangeoverStep(later("Days 1 and 2"), range(1, 3), 25, 75),
    ChangeoverStep(later("Days 3 and 4"), range(3, 5), 50, 50),
    ChangeoverStep(later("Days 5 and 6"), range(5, 7), 75, 25),
    ChangeoverStep(later("From day 7"), range(7, CHANGEOVER_DAYS + 1), 100, 0),
)
CHANGEOVER_SLOWLY = later("Loose stools? Stay on a step for one or two days more, 10 days in all.")
# 4 days: KEEPING["fridge_days"]
CHANGEOVER_KEEPING = later(
    "The first batch lasts longer than later ones. Freeze on cooking day what will not be eaten within "
    "4 days, or cook half a batch."
)
CHANGEOVER_BOWL = later("Give the same share of what goes in the bowl, and the full dose from day 7.")

# Common practice, no source.
MEAL_REFUSED = (
    later("Take the bowl away after 20 minutes. Offer the next meal at its usual time."),
    later("Do not make up for it with treats or other food."),
    later("Warm it to hand-warm, or go back one step of the change-over for two days."),
)

# Common practice, no source.
CALL_THE_VETERINARIAN = (
    later("Vomiting or diarrhea for more than a day, or blood in either"),
    later("Eats nothing for a day, or a puppy skips two meals"),
    later("Very tired, wobbly, bloated or in pain"),
    later("Drinks or passes much more water than before"),
    later("Ate a large amount of a supplement at once"),
)


def safe_temperatures(portions: Iterable[Portion]) -> list[SafeTemperature]:
    """Those that the raw animal foods of a batch call for, the hottest first."""
    needed = {_temperature(portion) for portion in portions if portion.state == "raw"} - {None}
    return sorted(needed, key=lambda safe: (-safe.celsius, safe.food))


def _temperature(portion: Portion) -> SafeTemperature | None:
    name = portion.food.casefold()
    meat = portion.group in ("muscle meat", "organ")
    if meat and any(word in name for word in POULTRY_WORDS):
        return POULTRY
    if portion.group == "muscle meat" and name.startswith("ground"):
        return GROUND
    return BY_GROUP.get(portion.group)
