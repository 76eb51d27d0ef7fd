"""The weight chart: what it draws, read back from the SVG's own shapes."""

import re
import threading
from datetime import date
from xml.etree import ElementTree

import pytest

from patients.charts import weight_chart

WEIGHTS = [(date(2026, 9, 1), 19.4), (date(2026, 10, 1), 18.9), (date(2026, 11, 1), 18.4)]


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
