"""Proposals made by hand, and the page's form as a browser sends it."""

from nutrients.models import Food
from recipes.models import RecipeVersion
from recipes.reformulate_offer import Offer, OfferedLine, as_text
from recipes.services import fingerprint


def make_offer(version: RecipeVersion, **changes) -> Offer:
    """changes: `after`, food name -> proposed grams; a food that is not in the recipe is new."""
    after = dict(changes.pop("after", {}))
    lines = [
        OfferedLine(x.food_id, x.when, x.grams, after.pop(x.food.name, x.grams), "because")
        for x in version.ingredients.select_related("food")
    ]
    lines += [
        OfferedLine(Food.objects.get(name=name).pk, "cooled_batch", 0.0, grams, "because")
        for name, grams in after.items()
    ]
    usual = {
        "seen": fingerprint(version), "profiles": ("aafco-adult",), "lines": tuple(lines), "feasible": True,
        "proven": True, "unmet": (), "against": (), "unconfirmed": (), "helps": (), "withheld": (),
    }  # fmt: skip
    return Offer(**(usual | changes))


def keys_of(offer: Offer, *names: str) -> list[str]:
    """The keys of the lines of these foods; of all that change for none."""
    wanted = set(Food.objects.filter(name__in=names).values_list("pk", flat=True))
    return [line.key for line in offer.changed() if not names or line.food in wanted]


def sent(act: str, page: dict | None = None, **fields) -> dict:
    """What a browser sends. page: the context of the page that was opened, whose left side is filled in."""
    data = {"act": act}
    if page is not None:
        table = page["table"]
        data |= {"seen": table.asked.seen, "profiles": ["aafco-adult"]}
        data |= {key: value for key, value in table.asked.rows.data.items() if key.startswith("choices-")}
    return data | fields


def acceptance(offer: Offer, taken: list[str], shown: list[str] | None = None, **fields) -> dict:
    return {
        "act": "accept",
        "proposal": as_text(offer),
        "take": taken,
        "shown": " ".join(taken if shown is None else shown),
        **fields,
    }
