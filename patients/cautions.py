"""Which cautions apply to a dog and what goes into its bowl. Pure calculation.

A caution is found by a word in a food's name (done by `nutrients.queries`), or by a rule here: the rule of
one subject of the caution table. What the owner reads about it is in plain words.
"""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from nutrients.language import later
from patients.dog import Dog
from patients.reproduction import BREEDING_WORDS
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
    "hypothyroid, thyroid cancer or therapy": ("thyroid", "hypothyroid", "hyperthyroid"),
}
BREEDING = "pregnancy and lactation"
OWNERS_SUPPLEMENTS = "supplements that the owner gives"
DRUG_WORDS = ("warfarin", "methotrexate")  # for other medicines see `patients.medicines`

# The words that name the laboratory results of each caution on them, at the start of a word.
RESULT_WORDS = {
    "kidney values on file": ("creatinine", "urea", "bun", "sdma", "upc", "phosphorus", "phosphate"),
    "liver values on file": ("alt", "alp", "alkaline", "ast", "ggt", "bile", "bilirubin", "ammonia"),
    "blood fats and pancreas values on file": ("triglycerid", "cholesterol", "lipase"),
    "thyroid values on file": ("t4", "ft4", "tt4", "free t4", "total t4", "tsh", "thyro"),
    "glucose values on file": ("glucose", "fructosamin"),
    "electrolytes on file": ("potassium", "sodium", "chloride", "calcium", "ionized calcium"),
    "urine findings on file": ("urine", "urinary", "crystal", "specific gravity", "usg"),
}
# Which nutrients a caution is about: shown as the plan brings them, and offered first where the veterinarian
# sets a number. What the caution table names in its own words, by its source.
NUTRIENTS = {
    "pancreatitis, hyperlipidaemia": ("fat",),
    "chronic kidney disease": ("phosphorus", "protein", "sodium"),
    "urate stones (e.g. Dalmatian, portosystemic shunt)": ("protein",),
    "calcium oxalate stones": ("calcium", "sodium", "vitamin_c", "vitamin_d"),
    "struvite stones": ("magnesium", "phosphorus", "protein"),
    "cystine stones": ("methionine_cystine", "protein", "sodium"),
    "copper-associated hepatopathy": ("copper", "zinc"),
    "copper in copper-storage breeds (Bedlington, Labrador, Doberman, WHWT, Dalmatian)": ("copper", "zinc"),
    "portosystemic shunt / hepatic encephalopathy": ("protein",),
    "heart disease (MMVD, DCM, CHF)": ("sodium", "protein", "epa_dha"),
    "protein-losing enteropathy / lymphangiectasia": ("fat",),
    "diabetes mellitus": ("fiber", "fat"),
    BREEDING: ("protein", "calcium"),
    "hypothyroid, thyroid cancer or therapy": ("iodine",),
    "cod liver oil": ("vitamin_a", "vitamin_d"),
    "senior dog": ("protein", "phosphorus"),
    "kidney values on file": ("phosphorus", "protein", "sodium"),
    "liver values on file": ("copper", "protein"),
    "blood fats and pancreas values on file": ("fat",),
    "thyroid values on file": ("iodine",),
    "electrolytes on file": ("potassium", "sodium", "calcium"),
    OWNERS_SUPPLEMENTS: ("vitamin_d", "vitamin_a", "calcium", "iodine", "selenium"),
}
OTHER_RESULTS = "other laboratory results on file"
COPPER_BREEDS = ("bedlington", "labrador", "doberman", "west highland", "westie", "dalmatian")
TAURINE_BREEDS = ("golden retriever", "cocker", "newfoundland")

# What the owner reads; a caution without such words is for the practitioner alone.
FOR_THE_OWNER = {
    OWNERS_SUPPLEMENTS: later(
        "Show us every supplement you give. Beside this food a second source of vitamin D, calcium or "
        "iodine can be too much: give none before we have answered."
    ),
    "avocado (skin, leaves, pit)": later(
        "Avocado: use the flesh only. Keep skin and stone away from the dog."
    ),
    "raw kidney beans and other raw legumes": later(
        "Beans: soak them, throw that water away, then boil them for 30 minutes before anything else. "
        "Raw or slow-cooked beans are poisonous."
    ),
    "green or sprouted potato, tomato leaves, potato peel with eyes": later(
        "Potatoes: cut away green parts, eyes and sprouts."
    ),
    "fruit pits and seeds (apricot, cherry, peach, apple seed)": later(
        "Fruit: use the flesh only, no stones, seeds or cores."
    ),
    RAW_ANIMAL_FOOD: later(
        "This recipe holds food that is not cooked. Wash hands, bowls and boards well, and keep it "
        "away from small children and anyone who is ill."
    ),
    "weight loss programme": later(
        "Weigh the dog every 2 weeks. About 1 % of its weight a week is a good pace."
    ),
    "puppies (especially large and giant breeds)": later(
        "Weigh the puppy every 2 weeks and tell us. Add no extra calcium."
    ),
    "diabetes mellitus": later(
        "Keep the food, the amount and the times the same every day, as they go with the insulin."
    ),
    "food allergy elimination trial": later(
        "Give nothing else at all: no treats, chews or flavored tablets."
    ),
    "drug interactions (warfarin, ACE inhibitors with potassium, methotrexate)": later(
        "Tell your veterinarian about this diet. Tell us about each medicine."
    ),
}


@dataclass(frozen=True)
class AppliedCaution:
    """A caution that applies, with what brought it up and, when there are such, the owner's words.

    nutrients: keys of those that it is about.
    """

    subject: str
    action: str
    text: str
    detail: str
    because: str
    for_owner: str = ""
    source: str = ""
    certainty: str = ""
    nutrients: tuple[str, ...] = ()


@dataclass(frozen=True)
class Feeding:
    """What the rules look at."""

    dog: Dog
    goal: str
    portions: Sequence[Portion]
    method: str


Rule = Callable[[Feeding], str]  # why the caution applies, or ""


def named(words: Iterable[str], texts: Iterable[str]) -> str:
    """The first text in which one of the words begins a word."""
    return next((text for text in texts if word_in(words, text)), "")


def word_in(words: Iterable[str], text: str) -> str:
    """The word of the text that begins with one of the words, or ""."""
    found = re.search(rf"(?<!\w)(?:{'|'.join(map(re.escape, words))})\w*", text, re.IGNORECASE)
    return found.group() if found else ""


def _fed_raw(subject: str) -> Rule:
    return lambda feeding: ", ".join(subjects(feeding.portions, feeding.method).get(subject, ()))


def _vegetarian(feeding: Feeding) -> str:
    groups = {portion.group for portion in feeding.portions}
    return "no animal food in the recipe" if groups and not groups & set(ANIMAL_GROUPS) else ""


def _low_sulfur(feeding: Feeding) -> str:
    breed = named(TAURINE_BREEDS, [feeding.dog.breed])
    food = named(LOW_SULFUR_WORDS, [portion.food for portion in feeding.portions])
    return f"{breed}, {food}" if breed and food else ""


RULES: dict[str, Rule] = {
    RAW_FISH: _fed_raw(RAW_FISH),
    RAW_ANIMAL_FOOD: _fed_raw(RAW_ANIMAL_FOOD),
    "vegetarian or vegan home diet": _vegetarian,
    "copper in copper-storage breeds (Bedlington, Labrador, Doberman, WHWT, Dalmatian)": lambda f: named(
        COPPER_BREEDS, [f.dog.breed]
    ),
    "taurine / low-sulfur-amino-acid diets (lamb, rice bran, high fibre, legumes)": _low_sulfur,
    "puppies (especially large and giant breeds)": lambda f: f.dog.stage.label if f.dog.stage.growing else "",
    "senior dog": lambda f: f.dog.stage.label if f.dog.stage.label == "senior" else "",
    "weight loss programme": lambda f: "the goal is to lose weight" if f.goal == "lose" else "",
    "drug interactions (warfarin, ACE inhibitors with potassium, methotrexate)": lambda f: named(
        DRUG_WORDS, [*f.dog.medicines, *f.dog.conditions, f.dog.notes]
    ),
    OWNERS_SUPPLEMENTS: lambda f: ", ".join(f.dog.given_supplements) if f.portions else "",
    OTHER_RESULTS: lambda f: ", ".join(
        result for result in f.dog.open_results if not any(named(w, [result]) for w in RESULT_WORDS.values())
    ),
}


def _by_condition(words: tuple[str, ...]) -> Rule:
    return lambda feeding: named(words, feeding.dog.conditions)


def _by_result(words: tuple[str, ...]) -> Rule:
    return lambda feeding: ", ".join(result for result in feeding.dog.open_results if named(words, [result]))


RULES |= {subject: _by_condition(words) for subject, words in CONDITION_WORDS.items()}
RULES[BREEDING] = lambda f: (
    f.dog.stage.label if f.dog.stage.breeding else named(BREEDING_WORDS, f.dog.told_breeding)
)
RULES |= {subject: _by_result(words) for subject, words in RESULT_WORDS.items()}


def applying(
    table: Iterable, by_food: Mapping[str, Sequence], feeding: Feeding
) -> tuple[AppliedCaution, ...]:
    """The cautions that apply, blocks first, each once.

    table: every caution (anything with subject, action, text, detail, source, certainty). by_food: name of an
    ingredient -> the cautions whose words stand in it.
    """
    reasons: dict[str, tuple[object, str]] = {}
    for portion in feeding.portions:
        for caution in by_food.get(portion.food, ()):
            if holds_for(caution.subject, portion, feeding.method):
                reasons.setdefault(caution.subject, (caution, portion.food))
    for caution in table:
        if because := RULES.get(caution.subject, lambda _: "")(feeding):
            reasons.setdefault(caution.subject, (caution, because))
    return in_order(_applied(caution, because) for caution, because in reasons.values())


def in_order(cautions: Iterable[AppliedCaution]) -> tuple[AppliedCaution, ...]:
    """Blocks first, then what needs the veterinarian."""
    return tuple(sorted(cautions, key=lambda caution: ORDER.index(caution.action)))


def _applied(caution, because: str) -> AppliedCaution:
    return AppliedCaution(
        subject=caution.subject,
        action=caution.action,
        text=caution.text,
        detail=caution.detail,
        because=because,
        for_owner=FOR_THE_OWNER.get(caution.subject, ""),
        source=caution.source,
        certainty=caution.certainty,
        nutrients=NUTRIENTS.get(caution.subject, ()),
    )
