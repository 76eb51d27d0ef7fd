"""The stations of a batch on one line, as SVG: ink on paper, the part on the heat drawn heavier. Pure."""

from collections.abc import Mapping, Sequence
from xml.etree import ElementTree

from nutrients.language import say

INK, LEAF, PAPER = "#20302a", "#2c6a4b", "#ffffff"
APART, HEIGHT, LINE_Y, RADIUS, NAME_Y, FONT_SIZE = 130, 92, 38, 25, 84, 14
STROKE = {"fill": "none", "stroke": INK, "stroke-width": "2", "stroke-linecap": "round"}
# Drawn around 0, 0 within the circle.
DRAWINGS = {
    "in_the_pot": (
        "M-12 -5 V7 a4 4 0 0 0 4 4 H8 a4 4 0 0 0 4 -4 V-5 Z",
        "M-16 -5 H16",
        "M-5 -10 V-16 M4 -10 V-16",
    ),
    "late": ("M-11 0 a11 11 0 1 0 22 0 a11 11 0 1 0 -22 0", "M0 -7 V0 L5 4"),
    "off_the_heat": ("M-12 -7 V2 a4 4 0 0 0 4 4 H8 a4 4 0 0 0 4 -4 V-7 Z", "M-16 -7 H16", "M-14 13 H14"),
    "cooled_batch": ("M0 -13 V13", "M-11 -7 L11 7", "M-11 7 L11 -7"),
    "in_the_bowl": ("M-14 -1 H14 L9 11 H-9 Z", "M-6 -7 a6 5 0 0 1 12 0"),
}


def draw(stations: Sequence[Mapping]) -> str:
    """stations: of a sheet's record, each with `when`, `name` and `hot`. An empty text for none."""
    if not stations:
        return ""
    width = APART * len(stations)
    picture = ElementTree.Element(
        "svg", {"xmlns": "http://www.w3.org/2000/svg", "viewBox": f"0 0 {width} {HEIGHT}", "role": "img",
                "class": "timeline"},
    )  # fmt: skip
    ElementTree.SubElement(picture, "title").text = _described(stations)
    for place, (before, after) in enumerate(zip(stations, stations[1:], strict=False)):
        _way(picture, place, heavy=before["hot"] and after["hot"])
    for place, station in enumerate(stations):
        _station(picture, place, station)
    return ElementTree.tostring(picture, encoding="unicode")


def _described(stations: Sequence[Mapping]) -> str:
    return say("When to add: {stations}.").format(stations=", ".join(each["name"] for each in stations))


def _middle(place: int) -> float:
    return APART * (place + 0.5)


def _way(picture, place: int, *, heavy: bool) -> None:
    style = {"stroke": INK, "stroke-width": "5" if heavy else "2"} | (
        {} if heavy else {"stroke-dasharray": "5 5"}
    )
    ends = {"x1": f"{_middle(place) + RADIUS}", "x2": f"{_middle(place + 1) - RADIUS}"}
    ElementTree.SubElement(picture, "line", {"y1": f"{LINE_Y}", "y2": f"{LINE_Y}", **ends, **style})


def _station(picture, place: int, station: Mapping) -> None:
    group = ElementTree.SubElement(picture, "g", {"transform": f"translate({_middle(place)} {LINE_Y})"})
    ring = {"r": f"{RADIUS}", "fill": PAPER, "stroke": LEAF if station["hot"] else INK,
            "stroke-width": "4" if station["hot"] else "2"}  # fmt: skip
    ElementTree.SubElement(group, "circle", ring)
    for path in DRAWINGS[station["when"]]:
        ElementTree.SubElement(group, "path", {"d": path, **STROKE})
    where = {"x": f"{_middle(place)}", "y": f"{NAME_Y}", "text-anchor": "middle", "fill": INK,
             "font-size": f"{FONT_SIZE}", "font-family": "Source Sans"}  # fmt: skip
    ElementTree.SubElement(picture, "text", where).text = station["name"]
