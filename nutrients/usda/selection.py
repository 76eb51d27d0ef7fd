"""Which foods of a download are wanted, and why the others are not."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field

from nutrients.usda.archive import BadFile
from nutrients.usda.foods import LeftOut, NotTaken, UsdaFood
from nutrients.usda.groups import GroupRules, Kind, carries_a_brand

BRAND = "carries a trade name (words in capitals, or a manufacturer)"
OTHER_GROUP = "not in a chosen group"
OLDER = "an older edition of a food that is in the download again"


@dataclass
class Selection:
    """The wanted foods and their kinds by key, the keys of all others, and what was left out."""

    foods: dict[str, UsdaFood] = field(default_factory=dict)
    kinds: dict[str, Kind] = field(default_factory=dict)
    others: set[str] = field(default_factory=set)
    left_out: LeftOut = field(default_factory=LeftOut)

    def leave(self, key: str, reason: str, example: str) -> None:
        self.others.add(key)
        self.left_out.add(reason, example)


def select(
    file: str, found: Iterable[UsdaFood | NotTaken], rules: GroupRules, only: Collection[str]
) -> Selection:
    """Sort the foods of `file`. Of several editions of a food the newest is taken.

    Raises BadFile when a food stands twice.
    """
    chosen = Selection()
    newest: dict[tuple, UsdaFood] = {}
    for food in found:
        if food.key in chosen.foods or food.key in chosen.others:
            raise BadFile(file, food.line, f"food {food.key!r} stands twice")
        if isinstance(food, NotTaken):
            chosen.leave(food.key, food.reason, food.example)
            continue
        kind = rules.kind(food.category_code, food.category, food.description)
        if reason := _reason_against(food, kind, only):
            chosen.leave(food.key, reason, food.ref if reason == BRAND else food.description)
            continue
        before = newest.get((food.release, food.ref))
        if before and before.published >= food.published:
            chosen.leave(food.key, OLDER, food.description)
            continue
        if before:
            del chosen.foods[before.key], chosen.kinds[before.key]
            chosen.leave(before.key, OLDER, before.description)
        newest[food.release, food.ref] = food
        chosen.foods[food.key], chosen.kinds[food.key] = food, kind
    return chosen


def _reason_against(food: UsdaFood, kind: Kind, only: Collection[str]) -> str:
    if only and kind.group not in only:
        return OTHER_GROUP
    return BRAND if carries_a_brand(food.description, food.manufacturer) else ""
