"""How a recipe is looked at: what a page or the panel beside the form was asked to show. Pure.

Every switch is a field of a form; what was typed and means nothing gives way to the usual.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from urllib.parse import urlencode

from nutrients.adequacy import PER_1000_KCAL

OFF = ("", "0")
IN_THE_FORM = "view-"  # begins the names of the switches that stand in the form of a recipe
BRINGS = "brings-"  # an act of that form: show what brings the nutrient that follows


@dataclass(frozen=True)
class Switches:
    """profile: key, "" for the one the recipe is meant to meet. basis: key of `recipes.basis.BASES`.

    dog: primary key as text. uncooked: before cooking. estimates: whether they count, or are unknown.
    nutrient: key of the one of which is shown what brings it.
    """

    profile: str = ""
    basis: str = PER_1000_KCAL
    dog: str = ""
    uncooked: bool = False
    estimates: bool = True
    only_open: bool = False
    nutrient: str = ""

    def query(self) -> str:
        """The switches that differ from the usual, but the nutrient, as a link carries them."""
        fields = {
            "profile": self.profile,
            "basis": "" if self.basis == PER_1000_KCAL else self.basis,
            "dog": self.dog,
            "uncooked": "1" if self.uncooked else "",
            "estimates": "" if self.estimates else "off",
            "open": "1" if self.only_open else "",
        }
        return urlencode({name: value for name, value in fields.items() if value})


IN_THE_PANEL = Switches(only_open=True)


def asked(data: Mapping[str, str], prefix: str = "", usual: Switches | None = None) -> Switches:
    """The switches in the fields of a form. usual: what holds for those that were not sent."""
    usual = usual or Switches()

    def sent(name: str, otherwise: str) -> str:
        return data.get(prefix + name, otherwise).replace("\x00", "")  # no database takes it

    return replace(
        usual,
        profile=sent("profile", usual.profile),
        basis=sent("basis", usual.basis),
        dog=sent("dog", usual.dog),
        uncooked=sent("uncooked", "") not in OFF,
        estimates=sent("estimates", "") != "off",
        only_open=sent("open", "1" if usual.only_open else "") not in OFF,
        nutrient=sent("nutrient", usual.nutrient),
    )


def asked_in_form(data: Mapping[str, str]) -> Switches:
    """The switches beside the form of a recipe, with the nutrient that was asked for last."""
    found, act = asked(data, IN_THE_FORM, IN_THE_PANEL), data.get("act", "")
    return replace(found, nutrient=act.removeprefix(BRINGS)) if act.startswith(BRINGS) else found
