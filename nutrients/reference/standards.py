"""The standards, their profiles and limits, and the groups that cannot carry a nutrient."""

from collections.abc import Iterator
from pathlib import Path

from nutrients.models import Limit, Negligible, Nutrient, Profile, Standard, WatchLevel
from nutrients.reference.lines import BadLine, Line, line, read, rows, value
from nutrients.reference.tables import Count, write
from nutrients.units import convert


def load(folder: Path, nutrients: dict[str, Nutrient]) -> Iterator[Count]:
    """Load standards, profiles, limits, negligible groups and watch levels."""
    yield write(read(folder / "standards.csv", Standard), ("name",))
    yield from profiles(folder / "profiles.csv")
    by_key = {profile.key: profile for profile in Profile.objects.all()}
    limits = list(read(folder / "limits.csv", Limit, profile=by_key, nutrient=nutrients))
    for each in limits:
        check(each)
    yield write(limits, ("profile", "nutrient", "kind"))
    negligible = read(folder / "negligible.csv", Negligible, nutrient=nutrients)
    yield write(negligible, ("nutrient", "food_group"))
    yield write(read(folder / "watch_levels.csv", WatchLevel, nutrient=nutrients), ("nutrient",))


def profiles(path: Path) -> Iterator[Count]:
    """Load the profiles, each after the one it inherits from; counted together."""
    standards = {standard.name: standard for standard in Standard.objects.all()}
    counts = []
    for place, row in rows(path):
        above = {profile.key: profile for profile in Profile.objects.all()}
        lookups = {"standard": standards, "inherits": above}
        values = {name: value(place, Profile, name, row[name], lookups) for name in row}
        counts.append(write([line(place, Profile, values)], ("key",)))
    yield Count(path.name, counts[0].rows, *map(sum, list(zip(*counts, strict=True))[2:]))


def check(limit_line: Line) -> None:
    """Raises BadLine for a limit that says nothing, contradicts itself or has a unit of another kind."""
    limit, place = limit_line.instance, limit_line.place
    if limit.minimum is None and limit.maximum is None:
        raise BadLine(place, "a limit needs a minimum or a maximum")
    if (limit.maximum is None) != (limit.kind == "") or (limit.maximum is None) != (
        limit.maximum_certainty == ""
    ):
        raise BadLine(place, "a maximum, its kind and its certainty belong together")
    if limit.minimum is not None and limit.maximum is not None and limit.minimum > limit.maximum:
        raise BadLine(place, f"the minimum {limit.minimum:g} lies above the maximum {limit.maximum:g}")
    try:
        convert(1, limit.nutrient.unit, limit.unit, limit.nutrient.key)
    except ValueError as problem:
        raise BadLine(place, problem) from None
