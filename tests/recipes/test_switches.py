"""How a recipe is looked at, from the fields of a form. No database."""

from recipes.switches import IN_THE_PANEL, Switches, asked, asked_in_form

EVERYTHING = {
    "profile": "nrc-adult",
    "basis": "per_dm",
    "dog": "7",
    "uncooked": "1",
    "estimates": "off",
    "open": "1",
    "nutrient": "zinc",
}
SWITCHED = Switches("nrc-adult", "per_dm", "7", True, False, True, "zinc")


def test_nothing_asked_is_the_usual():
    assert asked({}) == Switches()
    assert asked_in_form({}) == IN_THE_PANEL
    assert IN_THE_PANEL.only_open


def test_each_field_turns_its_switch():
    assert asked(EVERYTHING) == SWITCHED
    assert asked_in_form({f"view-{name}": value for name, value in EVERYTHING.items()}) == SWITCHED


def test_the_fields_of_the_recipe_itself_are_no_switches():
    assert asked_in_form({"profile": "12", "method": "baked"}) == IN_THE_PANEL


def test_a_box_without_its_tick_is_off():
    """The box sends 1; the field that stands before it sends 0."""
    assert not asked_in_form({"view-open": "0"}).only_open


def test_the_nutrient_whose_button_was_pressed_comes_before_the_one_shown():
    assert asked_in_form({"view-nutrient": "zinc", "act": "brings-iron"}).nutrient == "iron"
    assert asked_in_form({"view-nutrient": "zinc", "act": "brings-"}).nutrient == ""
    assert asked_in_form({"view-nutrient": "zinc", "act": "work-out"}).nutrient == "zinc"


def test_a_link_carries_what_differs_from_the_usual():
    assert Switches().query() == ""
    assert SWITCHED.query() == "profile=nrc-adult&basis=per_dm&dog=7&uncooked=1&estimates=off&open=1"
    assert Switches(profile="a&b=c").query() == "profile=a%26b%3Dc"


def test_what_no_database_takes_is_left_out():
    assert asked({"profile": "nrc\x00-adult"}).profile == "nrc-adult"
