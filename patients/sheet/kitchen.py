"""The parts of a sheet's record about the pot and about when everything goes in. Pure."""

from dataclasses import asdict

from nutrients.language import say
from patients import capacity
from patients.batch import Batch
from patients.timeline import stations
from patients.workings import Workings


def pot_sentence(workings: Workings, batch: Batch) -> str:
    """How full the pot gets; while nobody told its size, what size it needs."""
    if workings.filling:
        return capacity.describe(workings.filling)
    return capacity.needed(capacity.litres_of(batch.in_pot_g))


def pot_part(workings: Workings, batch: Batch, keeps_liquid: bool) -> dict:
    """How full the pot gets, and how many are needed."""
    found = workings.filling
    return {
        "sentence": pot_sentence(workings, batch),
        "start_with_water": _start_with_water(batch, keeps_liquid),
        "pots": found.pots if found else 1,
    }


def _start_with_water(batch: Batch, keeps_liquid: bool) -> str:
    """Where a recipe that keeps its liquid names no water."""
    if batch.water_g or not keeps_liquid:
        return ""
    return say("Begin with water up to the level of the meat.")


def timeline_part(workings: Workings, batch: Batch) -> list[dict]:
    """The stations of the batch, in kitchen order."""
    return [asdict(station) for station in stations(batch, workings.plan.serve)]
