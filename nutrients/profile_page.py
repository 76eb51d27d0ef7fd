"""A profile's page, and profiles side by side, as rows that a template only has to write down. Pure."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from nutrients.adequacy import ProfileLimits
from nutrients.profile_basis import (
    StatedEnergy,
    amount_on_basis,
    decimals_of,
    on_basis,
    unit_on_basis,
)
from nutrients.units import convert

SAME_WITHIN = 0.005  # half a percent: what two tables round differently


@dataclass(frozen=True)
class LimitRow:
    """One limit on the basis that is shown; None where it gives no minimum or maximum.

    limit: as it is stored. inherited_from: the profile's name, empty for its own. last_change: the newest
    state of a limit that the practice changed.
    """

    limit: object
    unit: str
    decimals: int
    minimum: float | None
    maximum: float | None
    inherited_from: str
    last_change: object | None


def limit_groups(
    limits: Iterable, profile, basis: str, stated: StatedEnergy, last_changes: Mapping[int, object]
) -> list[tuple[str, list[LimitRow]]]:
    """The limits that stand in a profile, under the groups of their nutrients.

    limits: of `nutrients.queries.standing_limits`. last_changes: by the limit's primary key.
    """
    rows = [_limit_row(limit, profile, basis, stated, last_changes.get(limit.pk)) for limit in limits]
    grouped = groupby(rows, key=lambda row: row.limit.nutrient.group)
    return [(group, list(lines)) for group, lines in grouped]


def _limit_row(limit, profile, basis: str, stated: StatedEnergy, last_change) -> LimitRow:
    key, unit = limit.nutrient.key, limit.unit
    sides = [
        None if side is None else amount_on_basis(side, unit, key, profile.basis, basis, stated)
        for side in (limit.minimum, limit.maximum)
    ]
    return LimitRow(
        limit=limit,
        unit=unit_on_basis(unit, key, basis),
        decimals=decimals_of(next(side for side in sides if side is not None)),
        minimum=sides[0],
        maximum=sides[1],
        inherited_from="" if limit.profile_id == profile.pk else str(limit.profile),
        last_change=last_change,
    )


@dataclass(frozen=True)
class ComparedSide:
    """A minimum or maximum of one profile; amount: None for no limit.

    against_first: how it stands to the first profile's, such as "+25 %"; empty where it says the same.
    """

    amount: float | None
    against_first: str


@dataclass(frozen=True)
class ComparedCell:
    minimum: ComparedSide
    maximum: ComparedSide
    maximum_kind: str
    changed: bool


@dataclass(frozen=True)
class ComparedRow:
    """A nutrient in every profile, all in one unit."""

    name: str
    group: str
    unit: str
    decimals: int
    cells: tuple[ComparedCell, ...]

    @property
    def differs(self) -> bool:
        """Does any profile say something else than the first?"""
        said = [side.against_first for cell in self.cells for side in (cell.minimum, cell.maximum)]
        return any(said)


def compared(
    profiles: Sequence[ProfileLimits], basis: str, stated: Sequence[StatedEnergy]
) -> list[ComparedRow]:
    """Every nutrient for which one of the profiles has a limit, in order.

    stated: the energies that each profile's change of basis rests on.
    """
    units = {}
    for profile in profiles:
        for key, unit in profile.limits["unit"].items():
            units.setdefault(key, unit)
    alike = [
        on_basis(_in_units(profile, units), basis, energies).limits
        for profile, energies in zip(profiles, stated, strict=True)
    ]
    rows = {key: row for limits in alike for key, row in limits.iterrows()}
    in_order = sorted(rows, key=lambda key: rows[key]["order"])
    return [_compared_row(key, rows[key], alike) for key in in_order]


def _in_units(profile: ProfileLimits, units: Mapping[str, str]) -> ProfileLimits:
    """The profile with each limit in the unit named for its nutrient."""
    limits = profile.limits.copy()
    for key, unit in profile.limits["unit"].items():
        for side in ("minimum", "maximum", "factor"):
            if not math.isnan(limits.at[key, side]):
                limits.at[key, side] = convert(limits.at[key, side], unit, units[key], key)
        limits.at[key, "unit"] = units[key]
    return replace(profile, limits=limits)


def _compared_row(key: str, particulars, alike: Sequence) -> ComparedRow:
    rows = [limits.loc[key] if key in limits.index else None for limits in alike]
    cells = [_compared_cell(row, rows[0], first=place == 0) for place, row in enumerate(rows)]
    return ComparedRow(
        name=particulars["name"],
        group=particulars["group"],
        unit=particulars["unit"],
        decimals=max(int(row["decimals"]) for row in rows if row is not None),
        cells=tuple(cells),
    )


def _compared_cell(row, first_row, *, first: bool) -> ComparedCell:
    sides = [
        ComparedSide(_side(row, side), "" if first else _against(_side(row, side), _side(first_row, side)))
        for side in ("minimum", "maximum")
    ]
    if row is None:
        return ComparedCell(*sides, maximum_kind="", changed=False)
    return ComparedCell(*sides, maximum_kind=row["maximum_kind"], changed=bool(row["changed"]))


def _side(row, side: str) -> float | None:
    return None if row is None or math.isnan(row[side]) else float(row[side])


def _against(amount: float | None, first: float | None) -> str:
    """How an amount stands to the first profile's; empty when it says the same."""
    if amount is None or first is None:
        return "" if amount is first else "not in the first" if first is None else "not here"
    if math.isclose(amount, first, rel_tol=SAME_WITHIN):
        return ""
    if not first:
        return "differs"
    percent = round(100 * (amount / first - 1))
    return f"{'+' if percent > 0 else '−'}{abs(percent)} %"
