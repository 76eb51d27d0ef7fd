"""The weight chart: what it draws, read back from the SVG's own shapes."""

import re
import threading
from datetime import date
from xml.etree import ElementTree

import pytest

from patients.charts import growth_chart, weight_chart
from patients.curves import GrowthPoint, LossCorridor

WEIGHTS = [(date(2026, 9, 1), 19.4), (date(2026, 10, 1), 18.9), (date(2026, 11, 1), 18.4)]

SVG = "{http://www.w3.org/2000/svg}"
CORRIDOR = LossCorridor(19.4, 15.3, date(2026, 9, 1))


def line_points(svg: bytes) -> list[tuple[float, float]]:
    """The corners of the weight line: the first path of more than two points without a closing stroke."""
    for path in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}path"):
        corners = re.findall(r"[ML] ([-\d.]+) ([-\d.]+)", path.get("d", ""))
        if len(corners) == 3 and "clip-path" in path.attrib:
            return [(float(x), float(y)) for x, y in corners]
    raise AssertionError("no line was drawn")


def test_the_line_falls_with_the_weight():
    points = line_points(weight_chart(WEIGHTS))
    heights = [y for _, y in points]  # down the page is more
    assert heights == sorted(heights)
    # equal steps of 0.5 kg are equal heights; 30 and 31 days are 30 : 31 apart
    assert heights[1] - heights[0] == pytest.approx(heights[2] - heights[1], rel=1e-4)
    assert (points[1][0] - points[0][0]) / (points[2][0] - points[1][0]) == pytest.approx(30 / 31, rel=1e-4)


def test_the_order_of_the_weigh_ins_does_not_matter():
    assert line_points(weight_chart(WEIGHTS[::-1])) == line_points(weight_chart(WEIGHTS))


def test_a_target_is_a_dashed_line_at_its_own_height():
    svg = weight_chart(WEIGHTS, 15.3)
    dashed = [p for p in ElementTree.fromstring(svg).iter() if "stroke-dasharray" in p.get("style", "")]
    assert len(dashed) == 1
    height = float(re.match(r"M [-\d.]+ ([-\d.]+)", dashed[0].get("d")).group(1))
    first, _, last = (y for _, y in line_points(svg))
    per_kg = (last - first) / (19.4 - 18.4)
    assert height == pytest.approx(last + per_kg * (18.4 - 15.3), abs=0.01)
    assert b"stroke-dasharray" not in weight_chart(WEIGHTS)


def test_one_weigh_in_is_enough_and_none_is_not():
    assert weight_chart(WEIGHTS[:1]).startswith(b"<?xml")
    with pytest.raises(ValueError, match="no weigh-in"):
        weight_chart([])


def test_two_weigh_ins_of_a_day():
    assert weight_chart([(date(2026, 9, 1), 19.4), (date(2026, 9, 1), 19.2)]).startswith(b"<?xml")


def test_charts_drawn_at_once_do_not_mix():
    drawn = {}

    def draw(number):
        weights = [(day, kg + number) for day, kg in WEIGHTS]
        drawn[number] = line_points(weight_chart(weights, target_kg=15.0))

    threads = [threading.Thread(target=draw, args=(number,)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    for number in range(4):
        weights = [(day, kg + number) for day, kg in WEIGHTS]
        assert drawn[number] == line_points(weight_chart(weights, target_kg=15.0))


def paths_of(svg: bytes, style: str) -> list[str]:
    found = ElementTree.fromstring(svg).iter(f"{SVG}path")
    return [path.get("d", "") for path in found if style in path.get("style", "")]


def heights(path: str) -> list[float]:
    return [float(y) for y in re.findall(r"[ML] [-\d.]+ ([-\d.]+)", path)]


def test_the_corridor_has_two_sides_of_which_the_fast_one_lies_lower():
    """After 8 weeks 19.4 x 0.99^8 = 17.90 kg and 19.4 x 0.98^8 = 16.50 kg: 1.40 kg apart, as drawn."""
    svg = weight_chart(WEIGHTS, corridor=CORRIDOR)
    line = line_points(svg)
    per_kg = (line[2][1] - line[0][1]) / (19.4 - 18.4)
    sides = [heights(path) for path in paths_of(svg, "stroke-width: 0.9")]
    assert len(sides) == 2
    fast, slow = sorted(sides, key=lambda side: -side[8])
    assert fast[8] - slow[8] == pytest.approx(per_kg * 19.4 * (0.99**8 - 0.98**8), abs=0.05)
    assert fast[0] == slow[0] == pytest.approx(line[0][1], abs=0.01)


def test_a_far_target_does_not_squeeze_what_was_weighed():
    """The slow side takes 24 weeks. 61 days to the last weigh-in and 56 more are 16.7 weeks: 17 points."""
    sides = paths_of(weight_chart(WEIGHTS, corridor=CORRIDOR), "stroke-width: 0.9")
    assert {len(heights(side)) for side in sides} == {16 + 1}


def test_marks_stand_on_the_time_axis_where_something_began():
    """15 of the 30 days to the second weigh-in; one from before the picture is left out."""
    svg = weight_chart(WEIGHTS, marks=[(date(2026, 9, 16), "A"), (date(2020, 1, 1), "B")])
    (mark,) = paths_of(svg, "stroke: #5b6a62; stroke-width: 0.8")
    (first, _), (second, _), _ = line_points(svg)
    x = float(re.match(r"M ([-\d.]+)", mark).group(1))
    assert (x - first) / (second - first) == pytest.approx(15 / 30, abs=0.002)


def test_the_letter_of_a_plan_does_not_stand_on_a_body_condition():
    """Both on the lowest point of a growing dog: the letter stands above all that is drawn."""
    day, growing = WEIGHTS[0][0], [(WEIGHTS[0][0], 5.3), (WEIGHTS[2][0], 8.0)]
    svg = weight_chart(growing, marks=[(day, "A")], scores=[(day, 5)]).decode()
    height = {
        text: float(re.search(rf"<!-- {text} -->\s*<g [^>]*translate\([-\d.]+ ([-\d.]+)\)", svg).group(1))
        for text in ("A", "BCS 5", "8 kg")
    }
    assert height["A"] == min(height.values())
    assert height["BCS 5"] - height["A"] > 100


def test_weigh_ins_at_home_are_rings_and_on_the_same_line():
    svg = weight_chart(WEIGHTS[::2], home=[WEIGHTS[1]])
    assert line_points(svg) == line_points(weight_chart(WEIGHTS))
    assert b"fill: #ffffff; stroke: #20302a" in svg


def test_growth_is_drawn_to_the_expected_weight():
    points = [GrowthPoint(date(2026, 9, 1), age, percent) for age, percent in ((10, 20), (20, 50), (30, 80))]
    svg = growth_chart(points)
    ys = [y for _, y in line_points(svg)]
    whole = min(heights(path)[0] for path in paths_of(svg, "stroke-dasharray"))  # the line at 100 %
    per_percent = (ys[0] - ys[2]) / 60
    assert ys[2] - whole == pytest.approx(20 * per_percent, abs=0.05)
    with pytest.raises(ValueError, match="no weigh-in"):
        growth_chart([])
