"""The fatter cut that is bought by mistake."""

import pytest

from recipes.analysis import Portion
from recipes.cuts import Cut, fatter_cut

# Fat per 100 g raw: USDA National Nutrient Database for Standard Reference, Release 28, rounded.
MEAT = {
    "Ground beef, 80% lean, raw": 20,
    "Ground beef, 90% lean, raw": 10,
    "Ground beef, 93% lean, raw": 7,
    "Beef eye of round, lean only, raw": 3,
    "Beef chuck (under blade), lean only, raw": 6,
    "Chicken breast, skinless, raw": 2.6,
    "Chicken thigh, skinless, raw": 4.1,
    "Whole chicken, meat and skin, raw": 15,
    "Ground chicken, raw": 8,
    "Turkey light meat, skinless, raw": 1.5,
    "Turkey dark meat, skinless, raw": 2.5,
}
TABLE = [
    *(Cut(food, "muscle meat", "raw", "", fat) for food, fat in MEAT.items()),
    Cut("Ground beef, 70% lean, raw", "muscle meat", "raw", "", None),
    Cut("Ground beef, 80% lean, pan-browned crumbles", "muscle meat", "cooked", "", 17),
    Cut("Yogurt, plain, skim milk", "dairy", "as sold", "", 0.2),
    Cut("Yogurt, plain, whole milk", "dairy", "as sold", "", 3.3),
    Cut("Cheddar cheese", "dairy", "as sold", "", 33),
    Cut("Beef liver, raw", "organ", "raw", "", 3.6),
    Cut("Beef brain, raw", "organ", "raw", "", 10),
]


@pytest.mark.parametrize(
    ("asked_for", "bought"),
    [
        ("Ground beef, 93% lean, raw", "Ground beef, 80% lean, raw"),
        ("Ground beef, 80% lean, raw", None),
        ("Ground beef, 70% lean, raw", None),  # its own fat is not known
        ("Chicken breast, skinless, raw", "Whole chicken, meat and skin, raw"),
        ("Beef eye of round, lean only, raw", "Beef chuck (under blade), lean only, raw"),
        ("Turkey light meat, skinless, raw", None),  # one gram is no fatter cut
        ("Ground chicken, raw", None),
        ("Yogurt, plain, skim milk", "Yogurt, plain, whole milk"),
        ("Cheddar cheese", None),
        ("Beef liver, raw", None),
    ],
)
def test_it_is_the_fattest_of_the_same_name_or_animal(asked_for, bought):
    cut = next(cut for cut in TABLE if cut.food == asked_for)
    found = fatter_cut(Portion(asked_for, 500, "in_the_pot", cut.group, "", cut.state), TABLE)
    assert (found and found.food) == bought


def test_a_supplement_has_no_cut():
    oil = Portion("Yogurt, plain, skim milk", 5, "in_the_bowl", "dairy", "", "as sold", is_supplement=True)
    assert fatter_cut(oil, TABLE) is None
