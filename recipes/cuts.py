"""Which fatter cut may be bought for a lean one by mistake. Pure."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from recipes.analysis import Portion

GROUPS = ("muscle meat", "fish & shellfish", "dairy")
ANY_CUT_OF = ("muscle meat",)  # where another cut of the same animal stands in when there is no fatter grade
# Common practice, no source: from here on a cut is fatter, in g of fat per 100 g more than the one asked for.
FATTER_BY_G = 2
GROUND = "Ground"


@dataclass(frozen=True)
class Cut:
    """A food of the table; fat_g: per 100 g, None not known."""

    food: str
    group: str
    state: str
    retention_group: str
    fat_g: float | None

    def bought_for(self, portion: Portion) -> Portion:
        """As much of this cut as was asked for of another."""
        return replace(portion, food=self.food, retention_group=self.retention_group)


def kind(food: str) -> str:
    """What a food is before its particulars: "Ground beef" of "Ground beef, 93% lean, raw"."""
    return food.partition(",")[0].casefold()


def animal(food: str) -> str:
    """The animal a cut comes from: "chicken" of "Whole chicken" and of "Chicken breast"."""
    words = kind(food).split()
    return words[-1] if words[0] == "whole" else words[0]


def _same_animal(cut: str, asked_for: str) -> bool:
    """Whole or in pieces; ground meat is no cut of it."""
    both_whole = not (cut.startswith(GROUND) or asked_for.startswith(GROUND))
    return both_whole and animal(cut) == animal(asked_for)


def fatter_cut(portion: Portion, cuts: Iterable[Cut]) -> Cut | None:
    """The fattest food that carries the same name but for its particulars ("Ground beef"); of meat without
    one, the fattest cut of the same animal. Always of the same group and state. None when there is none.
    """
    if portion.group not in GROUPS or portion.is_supplement:
        return None
    near = [cut for cut in cuts if (cut.group, cut.state) == (portion.group, portion.state)]
    own = next((cut.fat_g for cut in near if cut.food == portion.food), None)
    if own is None:
        return None
    fatter = [cut for cut in near if cut.fat_g is not None and cut.fat_g >= own + FATTER_BY_G]
    found = [cut for cut in fatter if kind(cut.food) == kind(portion.food)]
    if not found and portion.group in ANY_CUT_OF:
        found = [cut for cut in fatter if _same_animal(cut.food, portion.food)]
    return max(found, key=lambda cut: cut.fat_g, default=None)
