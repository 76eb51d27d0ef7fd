"""The limits that a reformulation has to meet: the profiles with their margin, and the bands as one more."""

from collections.abc import Sequence
from dataclasses import replace

import pandas as pd

from nutrients.adequacy import ProfileLimits, protein_for_arginine
from recipes.reformulate.proposal import Band, Wishes

BANDS = "bands"  # the key of the profile that the bands make


def all_limits(
    profiles: Sequence[ProfileLimits], wishes: Wishes, further: float = 0.0
) -> list[ProfileLimits]:
    """The profiles with the margin, and the bands as a profile of their own when there are any.

    further: a share by which everything is tightened beyond the wishes.
    """
    margined = [tightened(profile, wishes.margin + further) for profile in profiles]
    return margined + ([tightened(_of_bands(wishes.bands), further)] if wishes.bands else [])


def tightened(profile: ProfileLimits, margin: float) -> ProfileLimits:
    """Minima (and the rise of arginine's) raised by the share `margin`, maxima lowered by it.

    The protein above which arginine's minimum rises stays as published.
    """
    limits = profile.limits.assign(
        minimum=profile.limits["minimum"] * (1 + margin), maximum=profile.limits["maximum"] * (1 - margin)
    )
    return replace(
        profile,
        limits=limits,
        arginine_per_g_protein=profile.arginine_per_g_protein * (1 + margin),
        protein_for_arginine=protein_for_arginine(profile),
    )


def _of_bands(bands: Sequence[Band]) -> ProfileLimits:
    rows = [
        {
            "key": band.nutrient,
            "name": band.name or band.nutrient.replace("_", " "),
            "group": "",
            "unit": band.unit,
            "factor": 1.0,
            "minimum": band.least,
            "maximum": band.most,
            "maximum_kind": "",
            "source": "",
            "certainty": "",
            "maximum_certainty": "",
            "note": "",
            "order": order,
            "decimals": 1,
            "raised": False,
            "changed": False,
        }
        for order, band in enumerate(bands)
    ]
    limits = pd.DataFrame(rows).set_index("key").astype({"minimum": float, "maximum": float})
    return ProfileLimits(BANDS, "what is asked", "", "", False, limits)
