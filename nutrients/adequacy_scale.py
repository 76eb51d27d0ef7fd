"""Where a nutrient's amount stands on the adequacy scale.

Every row is drawn on the same scale: its minimum at `MINIMUM_AT` and its maximum at `MAXIMUM_AT`, so the
eye runs down one line. Between them the amount is placed linearly; beyond the end an arrow stands.
"""

from dataclasses import dataclass

WIDTH = 200.0
MINIMUM_AT = 60.0
MAXIMUM_AT = 180.0
# Without a maximum the space right of the minimum shows up to this many times the minimum.
TIMES_MINIMUM = 4.0


@dataclass(frozen=True)
class ScaleMark:
    """Positions in the scale's own units (0..WIDTH); None when a line is not drawn."""

    dot: float
    minimum: float | None
    maximum: float | None
    beyond: bool
    unconfirmed: bool


def scale_mark(amount: float, minimum: float | None, maximum: float | None, confirmed: bool) -> ScaleMark:
    """The mark of one row.

    amount, minimum, maximum: in the same unit; minimum or maximum may be None, not both.
    Raises ValueError when there is nothing to compare with.
    """
    if not minimum and maximum is None:
        raise ValueError("A scale needs a minimum or a maximum.")
    low = minimum or 0.0
    high = maximum if maximum is not None else low * TIMES_MINIMUM
    left = MINIMUM_AT if minimum else 0.0
    if amount <= low:
        dot = left * amount / low if low else 0.0
    else:
        dot = left + (MAXIMUM_AT - left) * (amount - low) / (high - low) if high > low else WIDTH
    return ScaleMark(
        dot=min(dot, WIDTH),
        minimum=MINIMUM_AT if minimum else None,
        maximum=MAXIMUM_AT if maximum is not None else None,
        beyond=dot > WIDTH,
        unconfirmed=not confirmed,
    )
