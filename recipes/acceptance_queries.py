"""Reads of what was accepted of a version, beside what is open in it now."""

from dataclasses import dataclass

import pandas as pd

from recipes import queries
from recipes.acceptance import Accepted, OpenLimit, open_limits, still_holds
from recipes.models import AcceptedLimit, RecipeVersion


@dataclass(frozen=True)
class Standing:
    """An open limit with its acceptance that still holds; `lapsed`: one that holds no more."""

    limit: OpenLimit
    accepted: AcceptedLimit | None
    lapsed: AcceptedLimit | None


def standings(version: RecipeVersion, judgement: pd.DataFrame | None = None) -> list[Standing]:
    """Every open limit of the version. Raises ValueError when there is no energy in it.

    judgement: the version's against its recipe's profile, worked out when it is not given.
    """
    profile = version.recipe.profile
    given = {
        (each.nutrient.key, each.side): each
        for each in version.accepted_limits.filter(profile=profile).select_related("nutrient", "accepted_by")
    }
    judged = queries.analysis_of(version).judgement if judgement is None else judgement
    return [
        _standing(limit, given.get((limit.nutrient, limit.side)))
        for limit in open_limits(judged, growth=profile.growth)
    ]


def unaccepted_of(version: RecipeVersion, judgement: pd.DataFrame | None = None) -> list[OpenLimit]:
    """The open limits that nobody accepted, as `standings`."""
    return [each.limit for each in standings(version, judgement) if each.accepted is None]


def _standing(limit: OpenLimit, given: AcceptedLimit | None) -> Standing:
    if given is None:
        return Standing(limit, None, None)
    signed_off = bool(given.veterinarian and given.clinic and given.agreed_on)
    said = Accepted(given.nutrient.key, given.side, given.answer, given.amount, signed_off)
    return Standing(limit, given, None) if still_holds(said, limit) else Standing(limit, None, given)
