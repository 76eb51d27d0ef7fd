"""Files of recipes read and checked: every refusal names its line and its reason."""

import json
from copy import deepcopy

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recipes.exchange import layout
from recipes.exchange.csv_reading import read_csv
from recipes.exchange.json_lines import lines_of
from recipes.exchange.reading import BadRecipes, Problem, read_json

STEW = {
    "title": "Turkey stew",
    "purpose": "",
    "tags": "turkey",
    "profile": "aafco-adult",
    "versions": [
        {
            "number": 1,
            "note": "",
            "method": "simmered_liquid_kept",
            "vessel": "",
            "added_water_g": 0,
            "cooked_weight_g": None,
            "ingredients": [
                {"food": "Turkey", "grams": 200.5, "when": "in_the_pot", "step_g": 5, "note": ""}
            ],
            "kitchen_steps": [{"text": "Simmer.", "minutes": 20, "temperature_c": 74}],
            "substitutions": [],
        }
    ],
}


def in_file(*recipes) -> str:
    return json.dumps({"holds": layout.NAME, "layout": layout.LAYOUT, "recipes": recipes}, indent=1)


def refused(text: str, read=read_json) -> list[Problem]:
    with pytest.raises(BadRecipes) as refusal:
        read(text)
    return refusal.value.problems


def line_with(text: str, words: str) -> int:
    return next(number for number, line in enumerate(text.splitlines(), 1) if words in line)


def changed(**fields) -> dict:
    return deepcopy(STEW) | fields


def test_a_whole_file_is_read_as_it_stands():
    assert read_json(in_file(STEW)).recipes == [STEW]


@pytest.mark.parametrize(
    ("line", "instead", "reason"),
    [
        ('"grams": 200.5', '"grams": "much"', "“grams” must be a number"),
        ('"grams": 200.5', '"grams": null', "“grams” is not known: give a number"),
        ('"grams": 200.5', '"grams": true', "“grams” must be a number"),
        ('"grams": 200.5', '"grams": 1e99', "“grams” must be a number"),
        ('"minutes": 20', '"minutes": 20.5', "“minutes” must be a whole number"),
        ('"title": "Turkey stew"', '"title": "  "', "“title” is empty"),
        ('"title": "Turkey stew"', '"title": ["Turkey"]', "“title” must be a text"),
        ('"title": "Turkey stew"', '"title": "a\\u0000b"', "“title” must be a text"),
        ('"tags": "turkey"', '"colour": "red"', "A recipe has no “colour”"),
    ],
)
def test_a_wrong_value_is_named_with_its_line(line, instead, reason):
    text = in_file(STEW)
    assert text.count(line) == 1
    problems = refused(text.replace(line, instead))
    assert any(
        problem.line == line_with(text, line) and problem.reason.startswith(reason) for problem in problems
    )


def test_a_missing_field_is_named_where_its_part_begins():
    text = in_file({name: value for name, value in STEW.items() if name != "profile"})
    assert Problem(5, "“profile” is missing in this recipe.") in refused(text)
    assert text.splitlines()[4].strip() == "{"  # counted by eye: holds, layout, recipes, then the recipe


def test_a_recipe_without_versions_or_ingredients_is_refused():
    assert "needs at least one version" in refused(in_file(changed(versions=[])))[0].reason
    empty = changed()
    empty["versions"][0]["ingredients"] = []
    assert "needs at least one ingredient" in refused(in_file(empty))[0].reason


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "This is no JSON"),
        ('{\n"holds": 1,\n}', "This is no JSON"),
        ("[]", "Here stands a file"),
        ('{"holds": NaN}', "NaN is no number"),
        ('{"layout": 1, "layout": 1}', "“layout” stands twice"),
        ("[" * 200_000, "Its lists are nested too deeply"),
    ],
)
def test_what_is_no_such_file_is_refused(text, reason):
    assert refused(text)[0].reason.startswith(reason)


def test_a_slip_of_the_pen_is_named_with_its_line():
    assert refused('{\n "holds": 1,,\n}')[0].line == 2


def test_another_layout_is_refused():
    text = in_file(STEW).replace('"layout": 1', '"layout": 2')
    assert refused(text) == [Problem(3, "Layout 2 is not known here: this program reads layout 1.")]


def test_more_recipes_than_can_be_taken_are_refused(monkeypatch):
    monkeypatch.setattr(layout, "MOST_RECIPES", 1)
    assert "At most 1 recipes" in refused(in_file(STEW, changed(title="Other")))[0].reason


VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    max_leaves=20,
)


def walked(value, path=()):
    yield path, value
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for name, inner in inside:
        yield from walked(inner, (*path, name))


@given(VALUES, st.sampled_from([None, 1, "\t"]), st.booleans())
def test_every_value_has_a_line_and_the_lines_run_on(value, indent, plain):
    text = json.dumps(value, indent=indent, ensure_ascii=plain)
    lines = lines_of(text)
    paths = [path for path, _ in walked(value)]
    assert list(lines) == paths
    assert list(lines.values()) == sorted(lines.values())
    if indent is not None:
        for path, inner in walked(value):
            if isinstance(inner, int | str):
                said = json.dumps(inner, ensure_ascii=plain)
                assert said in text.split("\n")[lines[path] - 1]


HEAD = ",".join(layout.CSV_COLUMNS)
ROW = 'Stew,,"turkey, adult",aafco-adult,,simmered_liquid_kept,,100,,Turkey,200.5,in_the_pot,5,'


def test_rows_of_one_recipe_stand_together():
    found = read_csv(f"{HEAD}\r\n{ROW}\r\n{ROW.replace('Turkey', 'Rice')}\r\n")
    assert [recipe["title"] for recipe in found.recipes] == ["Stew"]
    version = found.recipes[0]["versions"][0]
    assert [line["food"] for line in version["ingredients"]] == ["Turkey", "Rice"]
    assert (version["added_water_g"], version["cooked_weight_g"]) == (100, None)
    assert version["ingredients"][0]["grams"] == 200.5
    assert not found.has_steps


@pytest.mark.parametrize(
    ("text", "line", "reason"),
    [
        ("title,food\r\nStew,Turkey", 1, "The columns purpose, tags, "),
        (f"{HEAD}\r\n{ROW.replace('200.5', 'much')}", 2, "“grams” must be a number, not “much”."),
        (f"{HEAD}\r\n{ROW.replace('200.5', 'inf')}", 2, "“grams” must be a number."),
        (f"{HEAD}\r\n{ROW}\r\n{ROW.replace('Turkey', '')}", 3, "“food” is empty."),
        (f'{HEAD}\r\n"Stew', 2, "This is no CSV"),
        (HEAD, None, "No ingredient stands in this file."),
        ("", 1, "The columns"),
    ],
)
def test_a_wrong_table_is_refused_with_its_line(text, line, reason):
    problems = refused(text, read_csv)
    assert any(problem.line == line and problem.reason.startswith(reason) for problem in problems)
