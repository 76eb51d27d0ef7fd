"""Cautions between a dog's medicines and what its food holds. Pure.

Medicines are found by generic words of their class or substance. Nothing here names a dose.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from patients.cautions import AppliedCaution, Feeding, named, word_in
from patients.dog import Dog


@dataclass(frozen=True)
class MedicineRule:
    """A row of the medicine table. food_words: it holds only with a food whose name holds one of them.

    nutrients: keys of those concerned.
    """

    subject: str
    words: tuple[str, ...]
    food_words: tuple[str, ...]
    nutrients: tuple[str, ...]
    action: str
    text: str
    detail: str
    for_owner: str
    source: str
    certainty: str


def of_medicines(rules: Iterable[MedicineRule], feeding: Feeding) -> list[AppliedCaution]:
    """The rules that hold for the dog's medicines and what goes into its bowl."""
    return [_applied(rule, because) for rule in rules if (because := _because(rule, feeding))]


def given(words: tuple[str, ...], dog: Dog) -> str:
    """The medicine on the dog's record that one of the words names, or ""."""
    if found := named(words, (*dog.medicines, *dog.conditions)):
        return found
    word = word_in(words, dog.notes)
    return f"{word}, in the medical notes" if word else ""


def _because(rule: MedicineRule, feeding: Feeding) -> str:
    medicine = given(rule.words, feeding.dog)
    if not medicine or not rule.food_words:
        return medicine
    food = named(rule.food_words, [portion.food for portion in feeding.portions])
    return f"{medicine}; {food} in the recipe" if food else ""


def _applied(rule: MedicineRule, because: str) -> AppliedCaution:
    return AppliedCaution(
        subject=rule.subject,
        action=rule.action,
        text=rule.text,
        detail=rule.detail,
        because=because,
        for_owner=rule.for_owner,
        source=rule.source,
        certainty=rule.certainty,
        nutrients=rule.nutrients,
    )
