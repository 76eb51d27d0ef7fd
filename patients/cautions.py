"""Which cautions apply to a dog and what goes into its bowl. Pure calculation.

A caution is found by a word in a food's name (done by `nutrients.queries`), or by a rule here: the rule of
one subject of the caution table. What the owner reads about it is in plain words.
"""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from patients.dog import REPRODUCTION_WORDS, Dog
from recipes.analysis import Portion
from recipes.uncooked import RAW_ANIMAL_FOOD, RAW_FISH, holds_for, subjects

BLOCK, WARN, SIGN_OFF = "block", "warn", "sign-off"
ORDER = (BLOCK, SIGN_OFF, WARN)

ANIMAL_GROUPS = ("muscle meat", "organ", "fish & shellfish", "egg", "dairy")
LOW_SULFUR_WORDS = (
    "lamb",
    "rice bran",
    "lentil",
    "chickpea",
    "pea,",
    "peas",
    "black bean",
    "kidney bean",
    "soybean",
)

# The words, at the start of a word in a dog's condition, that name each condition of the caution table.
CONDITION_WORDS = {
    "pancreatitis, hyperlipidaemia": (
        "pancreatitis",
        "hyperlipid",
        "hypertriglycerid",
        "lipaemia",
        "lipemia",
    ),
    "chronic kidney disease": ("kidney", "renal", "ckd"),
    "urate stones (e.g. Dalmatian, portosystemic shunt)": ("urate",),
    "calcium oxalate stones": ("oxalate",),
    "struvite stones": ("struvite", "bladder stone", "urolith", "urinary stone"),
    "cystine stones": ("cystine", "cystinuria"),
    "copper-associated hepatopathy": ("copper", "hepatopath", "hepatitis", "liver"),
    "portosystemic shunt / hepatic encephalopathy": ("shunt", "portosystemic", "encephalopathy"),
    "heart disease (MMVD, DCM, CHF)": ("heart", "cardi", "mitral", "mmvd", "dcm", "chf"),
    "diabetes mellitus": ("diabet",),
    "food allergy elimination trial": ("elimination",),
    "protein-losing enteropathy / lymphangiectasia": ("protein-losing", "protein losing", "lymphangiectasia"),
    "pregnancy and lactation": REPRODUCTION_WORDS,
    "hypothyroid, thyroid cancer or therapy": ("thyroid", "hypothyroid", "hyperthyroid"),
}
DRUG_WORDS = ("warfarin", "methotrexate", "ace inhibitor", "benazepril", "enalapril", "ramipril")
COPPER_BREEDS = ("bedlington", "labrador", "doberman", "west highland", "westie", "dalmatian")
TAURINE_BREEDS = ("golden retriever", "cocker", "newfoundland")

# What the owner reads; a caution without such words is for the practitioner alone.
FOR_THE_OWNER = {
    "avocado (skin, leaves, pit)": "Avocado: use the flesh only. Keep skin and stone away from the dog.",
    "raw kidney beans and other raw legumes": "Beans: soak them, throw that water away, then boil them for "
    "30 minutes before anything else. Raw or slow-cooked beans are poisonous.",
    "green or sprouted potato, tomato leaves, potato peel with eyes": "Potatoes: cut away green parts, eyes "
    "and sprouts.",
    "fruit pits and seeds (apricot, cherry, peach, apple seed)": "Fruit: use the flesh only, no stones, "
    "seeds or cores.",
    RAW_ANIMAL_FOOD: "This recipe holds food that is not cooked. Wash hands, "
    "bowls and boards well, and keep it away from small children and anyone who is ill.",
    "weight loss programme": "Weigh the dog every 2 weeks. About 1 % of its weight a week is a good pace.",
    "puppies (especially large and giant breeds)": "Weigh the puppy every 2 weeks and tell us. Add no extra "
    "calcium.",
    "diabetes mellitus": "Keep the food, the amount and the times the same every day, as they go with the "
    "insulin.",
    "food allergy elimination trial": "Give nothing else at all: no treats, chews or flavored tablets.",
    "drug interactions (warfarin, ACE inhibitors with potassium, methotrexate)": "Tell your veterinarian "
    "about this diet and tell us about every medicine.",
}


@dataclass(frozen=True)
class AppliedCaution:
    """A caution that applies, with what brought it up and, when there are such, the owner's words."""

    subject: str
    action: str
    text: str
    detail: str
    because: str
    for_owner: str = ""


@dataclass(frozen=True)
class Feeding:
    """What the rules look at."""

    dog: Dog
    goal: str
    portions: Sequence[Portion]
    method: str


Rule = Callable[[Feeding], str]  # why the caution applies, or ""


def _named(words: Iterable[str], texts: Iterable[str]) -> str:
    """The first text in which one of the words begins a word."""
    begins = re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, words))})", re.IGNORECASE)
    return next((text for text in texts if begins.search(text)), "")


def _fed_raw(subject: str) -> Rule:
    return lambda feeding: ", ".join(subjects(feeding.portions, feeding.method).get(subject, ()))


def _vegetarian(feeding: Feeding) -> str:
    groups = {portion.group for portion in feeding.portions}
    return "no animal food in the recipe" if groups and not groups & set(ANIMAL_GROUPS) else ""


def _low_sulfur(feeding: Feeding) -> str:
    breed = _named(TAURINE_BREEDS, [feeding.dog.breed])
    food = _named(LOW_SULFUR_WORDS, [portion.food for portion in feeding.portions])
    return f"{breed}, {food}" if breed and food else ""


RULES: dict[str, Rule] = {
    RAW_FISH: _fed_raw(RAW_FISH),
    RAW_ANIMAL_FOOD: _fed_raw(RAW_ANIMAL_FOOD),
    "vegetarian or vegan home diet": _vegetarian,
    "copper in copper-storage breeds (Bedlington, Labrador, Doberman, WHWT, Dalmatian)": lambda f: _named(
        COPPER_BREEDS, [f.dog.breed]
    ),
    "taurine / low-sulfur-amino-acid diets (lamb, rice bran, high fibre, legumes)": _low_sulfur,
    "puppies (especially large and giant breeds)": lambda f: f.dog.stage.label if f.dog.stage.growing else "",
    "senior dog": lambda f: f.dog.stage.label if f.dog.stage.label == "senior" else "",
    "weight loss programme": lambda f: "the goal is to lose weight" if f.goal == "lose" else "",
    "drug interactions (warfarin, ACE inhibitors with potassium, methotrexate)": lambda f: _named(
        DRUG_WORDS, [*f.dog.conditions, f.dog.notes]
    ),
}


def _by_condition(words: tuple[str, ...]) -> Rule:
    return lambda feeding: _named(words, feeding.dog.conditions)


RULES |= {subject: _by_condition(words) for subject, words in CONDITION_WORDS.items()}


def applying(
    table: Iterable, by_food: Mapping[str, Sequence], feeding: Feeding
) -> tuple[AppliedCaution, ...]:
    """The cautions that apply, blocks first, each once.

    table: every caution (anything with subject, action, text, detail). by_food: name of an ingredient -> the
    cautions whose words stand in it.
    """
    reasons: dict[str, tuple[object, str]] = {}
    for portion in feeding.portions:
        for caution in by_food.get(portion.food, ()):
            if holds_for(caution.subject, portion, feeding.method):
                reasons.setdefault(caution.subject, (caution, portion.food))
    for caution in table:
        if because := RULES.get(caution.subject, lambda _: "")(feeding):
            reasons.setdefault(caution.subject, (caution, because))
    found = [_applied(caution, because) for caution, because in reasons.values()]
    return tuple(sorted(found, key=lambda caution: ORDER.index(caution.action)))


def _applied(caution, because: str) -> AppliedCaution:
    return AppliedCaution(
        subject=caution.subject,
        action=caution.action,
        text=caution.text,
        detail=caution.detail,
        because=because,
        for_owner=FOR_THE_OWNER.get(caution.subject, ""),
    )
