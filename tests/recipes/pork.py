"""An invented stew with a zinc tablet, kelp and liver, which meets the adult profile; for tests of swaps."""

from nutrients.models import Food
from recipes.models import RecipeVersion, Substitution
from tests import cast

PORK, LIVER, SPINACH = "Pork loin, whole, lean only, raw", "Beef liver, raw", "Spinach, raw"
ZINC, KELP, CALCIUM = (
    "Zinc chelate tablet, 15 mg zinc",
    "Kelp powder, assayed, 600 ug iodine per g",
    "Calcium carbonate powder",
)
OYSTER, EGGSHELL, IODIZED = "Oyster, Eastern, wild, raw", "Eggshell powder, dried", "Salt, iodized"
CHICKEN_LIVER = "Chicken liver, raw"
STEW = {
    PORK: 650,
    "Sweet potato, raw": 950,
    LIVER: 40,
    SPINACH: 60,
    "Canola oil": 35,
    CALCIUM: 5.1,
    "Dicalcium phosphate powder": 0.5,
    "Salt, plain": 1.4,
    KELP: 0.9,
    ZINC: 0.8,
    "Manganese chelate tablet, 8 mg manganese": 0.075,
    "Iron chelate tablet, 18 mg iron": 0.15,
    "Vitamin E liquid, 5 IU per drop": 0.06,
    "Vitamin D drops, 25 IU per drop": 0.24,
    "Choline bitartrate powder": 0.9,
    "B-complex tablet, low strength": 0.2,
}


def food(name: str) -> Food:
    return Food.objects.get(name=name)


def make_stew(approved_by=None, amounts: dict[str, float] | None = None, title="Pork stew") -> RecipeVersion:
    return cast.make_recipe(title, amounts or STEW, approved_by=approved_by, added_water_g=250)


def make_substitution(version: RecipeVersion, replaces=CALCIUM, by=EGGSHELL, grams=5.4, **particulars):
    when = particulars.pop("when", "cooled_batch")
    return Substitution.objects.create(
        version=version, replaces=food(replaces), food=food(by), grams=grams, when=when, **particulars
    )
