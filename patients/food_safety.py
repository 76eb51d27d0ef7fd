"""How hot food must get, how it is warmed again, and how a dog changes over to it. Pure.

How long food keeps stands in `patients.portions.KEEPING`.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from nutrients.units import fahrenheit
from patients.portions import FRIDGE_DAYS
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
POULTRY = SafeTemperature("poultry, also ground", 74)
GROUND = SafeTemperature("ground meat", 71)
ORGANS = SafeTemperature("liver, heart and other organs", 71)
WHOLE_CUTS = SafeTemperature("whole cuts of meat", 63, rest_minutes=3)
FISH = SafeTemperature("fish and shellfish", 63)
EGGS = SafeTemperature("eggs", 71)
REHEATED = SafeTemperature("food warmed again", 74)

POULTRY_WORDS = ("chicken", "turkey", "duck", "goose", "quail")
BY_GROUP = {"organ": ORGANS, "fish & shellfish": FISH, "egg": EGGS, "muscle meat": WHOLE_CUTS}

# Common practice, no source: days, share of the new food in percent, share of the old.
CHANGEOVER = (
    ("Days 1 and 2", 25, 75),
    ("Days 3 and 4", 50, 50),
    ("Days 5 and 6", 75, 25),
    ("From day 7", 100, 0),
)
CHANGEOVER_SLOWLY = "Loose stools? Stay on a step for one or two days more, 10 days in all."
CHANGEOVER_KEEPING = (
    "You use less of the first batch than later ones: freeze on cooking day what will not be eaten within "
    f"{FRIDGE_DAYS} days, or cook half a batch."
)
CHANGEOVER_BOWL = "Give the same share of what goes in the bowl, and the full dose from day 7."

# Common practice, no source.
CALL_THE_VETERINARIAN = (
    "Vomiting or diarrhea for more than a day, or blood in either",
    "Eats nothing for a day, or a puppy skips two meals",
    "Very tired, wobbly, bloated or in pain",
    "Drinks or passes much more water than before",
    "Ate a large amount of a supplement at once",
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
