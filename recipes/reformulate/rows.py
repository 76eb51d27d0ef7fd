"""The limits as linear rows over the grams of the choices: `coefficients @ grams >= bound`.

Each row is divided by its limit at the energy of reference, so that 1 is the whole limit: a shortage or
excess of 0.05 is 5 % of the limit, in every row alike.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from nutrients.adequacy import ProfileLimits
from nutrients.composition import RATIOS
from recipes.reformulate.confirming import Cap
from recipes.reformulate.contents import Contents, ceiling_parts, parts_of
from recipes.reformulate.limits import BANDS

CAP_SLACK = 1e-7  # share by which what is held back may rise: the noise of the solver


@dataclass(frozen=True)
class Row:
    """limit: what the row belongs to; rows with the same limit share their shortage."""

    profile: str
    nutrient: str
    name: str
    side: str
    coefficients: np.ndarray
    bound: float = 0.0
    sentence: str = ""

    @property
    def limit(self) -> tuple[str, str, str]:
        return self.profile, self.nutrient, self.side


def limit_rows(
    profile: ProfileLimits, contents: Contents, kcal: float, reference_g: np.ndarray
) -> Iterator[Row]:
    """The rows of every minimum and maximum of a profile.

    kcal: the energy of reference. reference_g: grams at which the divisor of a ratio is taken for scale.
    """
    for limit in profile.limits.itertuples():
        for side, value in (("minimum", limit.minimum), ("maximum", limit.maximum)):
            if np.isnan(value) or (side == "minimum" and value <= 0):
                continue
            said = "band" if profile.key == BANDS else side
            for coefficients in _of_limit(limit, side, value, profile, contents, kcal, reference_g):
                yield Row(profile.name, limit.Index, limit.name, said, coefficients)


def _of_limit(limit, side, value, profile, contents: Contents, kcal, reference_g) -> Iterator[np.ndarray]:
    sign = 1 if side == "minimum" else -1
    if limit.Index in RATIOS:
        above, below = (contents.per_gram(parts) for parts in RATIOS[limit.Index])
        yield sign * (above * limit.factor - value * below) / (value * _scale(below, reference_g))
        return
    parts = parts_of(limit.Index) if side == "minimum" else ceiling_parts(limit.Index)
    amount = contents.per_gram(parts) * limit.factor
    per_gram = contents.kcal_per_gram / 1000
    whole = max(value, 1e-9) * kcal / 1000
    yield sign * (amount - value * per_gram) / whole
    if limit.Index == "arginine" and side == "minimum" and profile.arginine_per_g_protein > 0:
        base = profile.protein_for_arginine
        if not np.isnan(base):
            rise = profile.arginine_per_g_protein * limit.factor
            at_base = (value - rise * base) * per_gram
            yield (amount - at_base - rise * contents.known["protein"]) / whole


def _scale(divisor: np.ndarray, reference_g: np.ndarray) -> float:
    """The divisor of a ratio at the amounts of reference; 1 where it is nothing."""
    return float(divisor @ reference_g) or 1.0


def cost_row(cost_per_kg: Sequence[float | None], ceiling: float) -> Row:
    """What is known of the cost within its ceiling."""
    known = np.array([cost or 0.0 for cost in cost_per_kg]) / 1000
    return Row("what is asked", "cost", "cost ceiling", "cost", -known / ceiling, -1.0)


def energy_rows(contents: Contents, least: float, most: float) -> list[Row]:
    per_gram, within = contents.kcal_per_gram, f"Energy between {least:,.0f} and {most:,.0f} kcal"
    said = f"{within} cannot be had from these choices within their bounds."
    return [
        Row("what is asked", "kcal", "energy", "kcal", per_gram / least, 1.0, said),
        Row("what is asked", "kcal", "energy", "kcal", -per_gram / most, -1.0, said),
    ]


def cap_row(cap: Cap, contents: Contents, before_g: np.ndarray, most_g: np.ndarray) -> Row:
    """Per 1000 kcal no more than at present."""
    present = float(cap.per_gram @ before_g)
    kcal = float(contents.kcal_per_gram @ before_g)
    if present > 0 and kcal > 0:
        rising = (cap.per_gram - present / kcal * contents.kcal_per_gram) / present
    else:
        rising = cap.per_gram / (float(cap.per_gram @ most_g) or 1.0)
    return Row("", "", cap.name, "maximum", -rising, -CAP_SLACK, cap.sentence)
