"""Builders for the calculations' tests; no database."""

import math

import pandas as pd

from nutrients.adequacy import ProfileLimits
from nutrients.composition import Composition, total

UNKNOWN = math.nan
NONE_NEGLIGIBLE: frozenset = frozenset()


def make_composition(foods, negligible=NONE_NEGLIGIBLE) -> Composition:
    """`foods`: (name, group, grams, {nutrient: amount}); a nutrient left out is unknown there."""
    contributions = pd.DataFrame([amounts for *_, amounts in foods], index=[name for name, *_ in foods])
    groups = [group for _, group, *_ in foods]
    return total(contributions, groups, [grams for _, _, grams, _ in foods], negligible)


def make_profile(limits: dict[str, dict], **particulars) -> ProfileLimits:
    """`limits`: nutrient -> what differs from a limit in g that sets neither minimum nor maximum."""
    plain = {
        "group": "a group",
        "unit": "g",
        "factor": 1.0,
        "minimum": UNKNOWN,
        "maximum": UNKNOWN,
        "maximum_kind": "",
        "source": "a table",
        "certainty": "verified",
        "maximum_certainty": "memory",
        "note": "",
        "decimals": 2,
        "raised": False,
        "changed": False,
    }
    rows = {
        key: {"name": key.title(), "order": place} | plain | limit
        for place, (key, limit) in enumerate(limits.items())
    }
    table = pd.DataFrame.from_dict(rows, orient="index").rename_axis("key")
    return ProfileLimits(
        **{
            "key": "invented-adult",
            "name": "Invented adult",
            "edition": "2026",
            "life_stage": "adult",
            "growth": False,
            "limits": table,
        }
        | particulars
    )
