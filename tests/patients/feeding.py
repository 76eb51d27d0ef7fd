"""A recipe that meets the adult profile with every value known, and a plan made of it. Wholly invented."""

from nutrients.models import Food, FoodValue, Nutrient, Supplement
from patients.models import Plan
from practice.models import PracticeProfile
from tests import cast

TURKEY = "Ground turkey, 93% lean, raw"
POWDER = "Canine vitamin and mineral powder"
WHOLE_RECIPE = {
    TURKEY: 700,
    "Pearled barley, dry": 150,
    "Pumpkin, raw": 300,
    "Green beans, raw": 200,
    "Beef liver, raw": 20,
    "Salmon, Atlantic, farmed, raw": 100,
    "Calcium carbonate powder": 6.3,
    "Dicalcium phosphate powder": 2.8,
    "Potassium chloride powder": 1.9,
    "Salt, iodized": 0.4,
    "Iron chelate tablet, 18 mg iron": 0.225,
    "Choline bitartrate powder": 1,
    "Magnesium citrate powder": 1.1,
    POWDER: 11,
}
SUPPLEMENTS = [
    name for name in WHOLE_RECIPE if "powder" in name or "tablet" in name or name == "Salt, iodized"
]


def make_practice(**particulars) -> PracticeProfile:
    defaults = {"name": "Quillmarsh Canine Nutrition", "phone": "01 555 0100", "recheck_days": 28}
    return PracticeProfile.objects.create(**(defaults | particulars))


def make_whole_plan(by, amounts: dict[str, float] | None = None, dog: dict | None = None, **choices) -> Plan:
    """A weighed dog's plan, ready to be issued."""
    patient = cast.make_patient(**(dog or {}))
    cast.make_visit(patient)
    version = cast.make_recipe(
        "Turkey and barley", amounts=amounts or WHOLE_RECIPE, approved_by=by, added_water_g=650
    )
    return cast.make_plan(patient, version, **choices)


def make_strong_drops(per_drop: float, nutrient_key: str = "vitamin_d") -> Food:
    """Drops of 0.03 g with so much of a nutrient, in its unit; all else in them is known to be nothing."""
    food = Food.objects.create(
        name="Drops, strong", group="vitamin supplement", state="as sold", source="test"
    )
    Supplement.objects.create(
        food=food, form="oil", dose_unit="drop", grams_per_dose_unit=0.03, smallest_step=1, heat="sensitive",
        label_text="strong",
    )  # fmt: skip
    for nutrient in Nutrient.objects.filter(derived=False):
        per_100g = per_drop / 0.03 * 100 if nutrient.key == nutrient_key else 0
        if nutrient.key == "ash":
            per_100g = 100
        FoodValue.objects.create(food=food, nutrient=nutrient, per_100g=per_100g, kind="label", source="t")
    return food
