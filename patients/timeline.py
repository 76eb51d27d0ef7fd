"""When everything goes in, from the pot to the bowl: the stations of a batch, and their picture. Pure."""

from dataclasses import dataclass

from nutrients.language import later, say
from nutrients.owner_units import heat
from patients.batch import Batch
from patients.food_safety import REHEATED, safe_temperatures
from patients.portions import KEEPING
from recipes.analysis import COOLED_BATCH, IN_THE_BOWL

# What happens at each station, in kitchen order; the hot ones first.
STATIONS = {
    "in_the_pot": later("In the pot"),
    "late": later("Last minutes"),
    "off_the_heat": later("Off the heat"),
    COOLED_BATCH: later("Cooled batch"),
    IN_THE_BOWL: later("In the bowl"),
}
ON_THE_HEAT = ("in_the_pot", "late")


@dataclass(frozen=True)
class Station:
    """One moment: what goes in then, and what to watch. hot: the food is on the heat."""

    when: str
    name: str
    goes_in: tuple[str, ...]
    watch: tuple[str, ...]
    hot: bool


def stations(batch: Batch, serve: str) -> list[Station]:
    """Those at which something goes in, and always the pot, the cooled batch and the bowl."""
    found = []
    for when, name in STATIONS.items():
        goes_in = _goes_in(batch, when)
        watch = _watch(batch, serve, when)
        if goes_in or watch:
            found.append(Station(when, say(name), goes_in, watch, when in ON_THE_HEAT))
    return found


def _goes_in(batch: Batch, when: str) -> tuple[str, ...]:
    foods = [line.portion.food for line in batch.foods if line.portion.when == when]
    water = [say("water")] if when == "in_the_pot" and batch.water_g else []
    doses = [dose.food for dose in batch.doses if dose.when == when]
    return (*map(say, foods), *water, *map(say, doses))


def _watch(batch: Batch, serve: str, when: str) -> tuple[str, ...]:
    if when == "in_the_pot":
        return tuple(
            say("{food}: {temperature} inside").format(food=say(safe.food), temperature=heat(safe.celsius))
            for safe in safe_temperatures(line.portion for line in batch.foods)
        )
    if when == COOLED_BATCH:
        rule = KEEPING["cool_within_hours"]
        return (rule.said,)
    if when == IN_THE_BOWL and serve == "rewarmed":
        warmed = say("Warm the food to {temperature}, let it cool to hand-warm first.")
        return (warmed.format(temperature=heat(REHEATED.celsius)),)
    return ()
