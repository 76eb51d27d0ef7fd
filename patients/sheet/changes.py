"""What a sheet says otherwise than the one before it, from their two records. Pure.

An older record may lack a part: what it did not say is not compared.
"""

from collections.abc import Mapping

from nutrients.language import plain, say
from nutrients.owner_units import weight

NAMED_EACH = 3  # of more changed doses than this the names alone are told


def reissue_part(before: Mapping, after: Mapping, reason: str) -> dict:
    """reason: why it is issued anew, as the practitioner said it."""
    return {"replaces": before["number"], "reason": reason.rstrip(". "), "changes": changes(before, after)}


def changes(before: Mapping, after: Mapping) -> list[str]:
    """A sentence each, what is fed first."""
    if before.get("language") != after.get("language"):
        return [say("This sheet is in another language: read all of it.")]
    return [*_feeding(before, after), *_recipe(before, after), *_supplements(before, after)]


def _feeding(before: Mapping, after: Mapping) -> list[str]:
    was, now = before["feeding"], after["feeding"]
    sentences = (
        ("kcal_per_day", say("Energy a day: {now} kcal. It was {was} kcal.")),
        ("meal_g", say("Each meal: {now}. It was {was}.")),
        ("meals_per_day", say("Meals a day: {now}. There were {was}.")),
        ("days", say("Days per batch: {now}. There were {was}.")),
        ("extras_kcal", say("Treats and extras: at most {now} kcal a day. It was {was} kcal.")),
        ("served", say("Feed it {now}. It was {was}.")),
    )
    return [
        sentence.format(now=_told(now[key], key), was=_told(was[key], key))
        for key, sentence in sentences
        if key in was and _told(was[key], key) != _told(now[key], key)
    ]


def _recipe(before: Mapping, after: Mapping) -> list[str]:
    was, now = before["recipe"], after["recipe"]
    if was["title"] != now["title"]:
        return [say("Another recipe: {now}. It was {was}.").format(now=now["title"], was=was["title"])]
    old = {food["food"]: food["grams"] for food in was["foods"]}
    new = {food["food"]: food["grams"] for food in now["foods"]}
    told = [
        *(say("New in the pot: {food}.").format(food=food) for food in new if food not in old),
        *(say("No longer in the pot: {food}.").format(food=food) for food in old if food not in new),
    ]
    if any(old[food] != grams for food, grams in new.items() if food in old):
        told.append(say("The amounts in the pot have changed: cook by this sheet."))
    if was["method"] != now["method"]:
        told.append(say("Cooked another way: {now}.").format(now=now["method"]))
    return told


def _supplements(before: Mapping, after: Mapping) -> list[str]:
    was, now = _doses(before), _doses(after)
    new = say("New: {food}, {amount}, {when}.")
    other = say("{food}: now {amount}, {when}.")
    changed = [food for food in now if food in was and was[food] != now[food]]
    if len(changed) > NAMED_EACH:
        told = [
            say("These amounts have changed: {foods}. Measure by this sheet.").format(
                foods=", ".join(changed)
            )
        ]
    else:
        told = [other.format(food=food, amount=now[food][0], when=now[food][1]) for food in changed]
    return [
        *(new.format(food=food, amount=now[food][0], when=now[food][1]) for food in now if food not in was),
        *(say("No longer: {food}.").format(food=food) for food in was if food not in now),
        *told,
    ]


def _doses(record: Mapping) -> dict[str, tuple[str, str]]:
    """Supplement -> its amount and the moment it goes in."""
    return {
        dose["food"]: (dose["amount"], moment["when"])
        for moment in record["supplements"]
        for dose in moment["doses"]
    }


def _told(value: float | str, key: str) -> str:
    if isinstance(value, str):
        return value
    return weight(value) if key == "meal_g" else plain(value)
