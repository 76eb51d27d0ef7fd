"""What a dog of its breed, or of its expected size, usually weighs: a first weight has nothing else to be
held against. Pure: kg.

It only asks. Of a cross, and of a breed that is not listed, nothing is known here.
"""

import re
from dataclasses import dataclass

from nutrients.units import kg_from
from patients.sentences import in_kg

MUCH_MORE, MUCH_LESS = 1.4, 0.7  # common practice, no source: beyond fat and thin dogs of that size
YOUNG_SHARE, SHARE_PER_WEEK = 0.06, 0.04  # common practice, no source: the quickest, small breeds, stay below
CROSSED = re.compile(r"\b(?:cross\w*|mix\w*|mongrel|x|\w+doodle)\b|×|/")
BREEDS_KG = {  # grown dogs of both sexes, from memory; a name within a longer one is listed after it
    "yorkshire terrier": (2, 4), "chihuahua": (1.5, 3.5), "pomeranian": (1.8, 3.5), "maltese": (2, 4.5),
    "papillon": (2.5, 5), "toy poodle": (2, 5), "miniature poodle": (4.5, 8), "standard poodle": (18, 32),
    "shih tzu": (4, 8), "pug": (6, 9), "miniature schnauzer": (5, 9), "giant schnauzer": (25, 40),
    "jack russell": (5, 8), "border terrier": (5, 7.5), "cairn terrier": (6, 8), "west highland": (6, 10),
    "scottish terrier": (8, 11), "miniature dachshund": (3.5, 6), "dachshund": (5, 13), "bichon": (3, 8),
    "cavalier": (5, 9), "french bulldog": (8, 14), "american bulldog": (27, 54), "bulldog": (18, 26),
    "boston terrier": (4.5, 12), "beagle": (9, 14), "corgi": (9, 15), "cocker spaniel": (11, 16),
    "springer spaniel": (18, 25), "shetland sheepdog": (6, 12), "whippet": (9, 18), "greyhound": (26, 40),
    "border collie": (13, 22), "rough collie": (20, 34), "basset hound": (20, 32), "dalmatian": (22, 34),
    "labrador": (24, 37), "golden retriever": (25, 36), "boxer": (25, 34), "pointer": (20, 34),
    "german shepherd": (22, 42), "husky": (16, 28), "malamute": (32, 45), "vizsla": (18, 30),
    "weimaraner": (23, 40), "doberman": (27, 45), "rottweiler": (35, 60), "ridgeback": (29, 41),
    "bernese": (32, 54), "newfoundland": (45, 70), "saint bernard": (54, 90), "st bernard": (54, 90),
    "great dane": (45, 85), "irish wolfhound": (40, 70), "mastiff": (45, 110),
}  # fmt: skip


@dataclass(frozen=True)
class Usual:
    """The weight of the grown dog [kg]; words: such as `the 9.0 to 14.0 kg usual for a beagle`."""

    low_kg: float
    high_kg: float
    words: str


def usual_weight(breed: str, expected_adult_kg: float | None) -> Usual | None:
    """By what is expected of the dog itself, else by its breed; None when neither is known."""
    if expected_adult_kg:
        return Usual(
            expected_adult_kg, expected_adult_kg, f"the {in_kg(expected_adult_kg)} expected of it grown"
        )
    text = breed.casefold()
    if CROSSED.search(text):
        return None
    for name, (low, high) in BREEDS_KG.items():
        if re.search(rf"\b{name}\b", text):
            return Usual(low, high, f"the {low:g} to {high:g} kg usual for this breed ({name})")
    return None


def unlike_usual(kg: float, unit: str, usual: Usual, growing_weeks: float | None) -> str:
    """Why a first weight, typed in `unit`, is asked about; "" when it may well be right.

    growing_weeks: the age of a dog that still grows; None for a grown one.
    """
    share = MUCH_MORE
    if growing_weeks is not None:
        share = min(1.0, YOUNG_SHARE + SHARE_PER_WEEK * growing_weeks)
    if kg > usual.high_kg * share:
        at_its_age = "" if share in (MUCH_MORE, 1.0) else f" at {growing_weeks:.0f} weeks"
        slip = unit == "kg" and kg_from(kg, "lb") >= usual.low_kg * MUCH_LESS * min(share, 1.0)
        return f"{in_kg(kg)} is much{at_its_age} beside {usual.words}: {_ask('pounds' if slip else '')}"
    if growing_weeks is None and kg < usual.low_kg * MUCH_LESS:
        return f"{in_kg(kg)} is little beside {usual.words}: {_ask('kilograms' if unit == 'lb' else '')}"
    return ""


def _ask(unit: str) -> str:
    return f"were these {unit}?" if unit else "look again, or say that it is right."
