"""What the food table holds already, and which foods of a download may be written."""

from collections import defaultdict

from nutrients.models import Food, FoodValue
from nutrients.reference.tables import changed_by_hand
from nutrients.usda import Release, UsdaFood

KEPT = "changed by the practice: left alone"
DELETED = "deleted by the practice: not brought back"
CURATED = "already curated: its NDB number is here from another source"
OTHER_RELEASE = "already here from another release of Standard Reference"
NAME_TAKEN = "its name belongs to another food here"

RELEASES = {release.value: release for release in Release}
LONGEST_NAME = Food._meta.get_field("name").max_length


class Standing:
    """The foods of earlier imports by source and number, and everybody's names and numbers."""

    def __init__(self):
        self._imported = {
            (food.source, food.source_ref): food for food in Food.objects.filter(source__in=RELEASES)
        }
        self._owners = dict(Food.objects.values_list("name", "pk"))
        self._sources: dict[str, set[str]] = defaultdict(set)
        for source, ref in Food.objects.exclude(source_ref="").values_list("source", "source_ref"):
            self._sources[ref].add(source)
        self._touched = {
            *changed_by_hand(Food, ("id",), {}),
            *changed_by_hand(FoodValue, ("food_id",), {}),
        }
        self._remembered = changed_by_hand(Food, ("source", "source_ref"), {})

    def held(self, food: UsdaFood) -> Food | None:
        """The food as an earlier import brought it in."""
        return self._imported.get((food.release.value, food.ref))

    def reason_against(self, food: UsdaFood) -> str:
        """Why this food must not be written, "" when it may."""
        if held := self.held(food):
            return KEPT if (held.pk,) in self._touched else ""
        if (food.release.value, food.ref) in self._remembered:
            return DELETED
        others = [RELEASES.get(source) for source in self._sources[food.ref]]
        if None in others:
            return CURATED
        if food.release.is_standard_reference and any(other.is_standard_reference for other in others):
            return OTHER_RELEASE
        return ""

    def take_name(self, food: UsdaFood) -> str:
        """A name that is nobody else's: USDA's description, with the number where two foods share it.

        "" when that is taken too.
        """
        held = self.held(food)
        number = food.ref if food.ref.startswith("FDC") else f"NDB {food.ref}, {food.release.label}"
        description = " ".join(food.description.split())
        names = [shortened(description, ""), shortened(description, f" ({number})")]
        if held and held.name in names:
            return held.name
        for name in names:
            owner = self._owners.get(name, held and held.pk)
            if name not in self._owners or (held and owner == held.pk):
                self._owners[name] = held.pk if held else None
                return name
        return ""


def shortened(description: str, ending: str) -> str:
    """The description with an ending, cut where a food's name has no more room."""
    return description[: LONGEST_NAME - len(ending)].rstrip(" ,") + ending
