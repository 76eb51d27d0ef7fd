"""The pictures of a sheet: everything is said in words too, and nothing rests on colour."""

from xml.etree import ElementTree

import pytest

from patients.sheet_pictures import adequacy_squares, energy_bar, weight_curve

SVG = "{http://www.w3.org/2000/svg}"


def texts(drawn: str) -> list[str]:
    return [text.text for text in ElementTree.fromstring(drawn).iter(f"{SVG}text")]


def title(drawn: str) -> str:
    return ElementTree.fromstring(drawn).find(f"{SVG}title").text


def test_the_bar_is_divided_as_the_energy_is():
    drawn = energy_bar([("this recipe", 450), ("other food", 450), ("treats", 100)], "A day's energy")
    widths = [float(part.get("width")) for part in ElementTree.fromstring(drawn).iter(f"{SVG}rect")]
    assert widths == pytest.approx([148.5, 148.5, 33])  # of 330: 45 %, 45 %, 10 %
    assert title(drawn) == "A day's energy: this recipe 45 %, other food 45 %, treats 10 %."


def test_no_energy_has_no_bar():
    assert energy_bar([], "x") == ""
    assert energy_bar([("a", 0)], "x") == ""


def test_the_curve_falls_as_the_weight_does():
    drawn = weight_curve([("2026-01-01", 20.0), ("2026-01-31", 18.0)], 16.0)
    first, last = ElementTree.fromstring(drawn).iter(f"{SVG}circle")
    # 20 to 16 kg over 90 units: 2 kg are 45 units further down
    assert float(last.get("cy")) - float(first.get("cy")) == pytest.approx(45)
    assert (
        title(drawn) == "Weight from 20.0 kg on 1 January 2026 to 18.0 kg on 31 January 2026. Target 16.0 kg."
    )
    assert "target 16.0 kg" in texts(drawn)


@pytest.mark.parametrize("points", [[], [("2026-01-01", 20.0)]])
def test_one_weight_is_no_curve(points):
    assert weight_curve(points, 16.0) == ""


def test_weights_that_do_not_change_and_fall_on_one_day_are_drawn():
    assert weight_curve([("2026-01-01", 20.0), ("2026-01-01", 20.0)], None)


def test_a_square_for_each_nutrient_told_by_shape():
    line = {"group": "Minerals", "met": ["a", "b"], "unconfirmed": ["c"], "off": ["d"]}
    picture = ElementTree.fromstring(adequacy_squares([line]))
    squares = list(picture.iter(f"{SVG}rect"))
    assert len(squares) == 4 + 3  # with the legend's
    assert [square.get("fill") for square in squares[:4]] == ["#20302a", "#20302a", "#ffffff", "#ffffff"]
    assert [bool(square.get("stroke-dasharray")) for square in squares[:4]] == [False, False, True, False]
    assert len(list(picture.iter(f"{SVG}path"))) == 2  # the crossed one, and the legend's
    assert title(adequacy_squares([line])) == (
        "2 nutrients are met, 1 cannot be confirmed, 1 are below or above."
    )


def test_a_name_is_text_and_never_markup():
    assert texts(energy_bar([("<b>x</b>", 1)], "<i>"))[0] == "<i>"
