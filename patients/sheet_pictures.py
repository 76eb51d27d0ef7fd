"""A take-home sheet's pictures, as SVG from its record alone: ink on paper, told without colour. Pure."""

from collections.abc import Mapping, Sequence
from datetime import date
from xml.etree import ElementTree

from nutrients import language
from nutrients.language import later, number, say
from nutrients.owner_units import body

INK, QUIET, PAPER = "#20302a", "#5b6a62", "#ffffff"
LINE = {"fill": "none", "stroke": INK, "stroke-width": "2"}
GREYS = ("#20302a", "#8a938d", "#ddd5c6")  # told apart in black and white
FONT = {"font-family": "Source Sans", "fill": INK}
WIDTH = 330
NAMES, SQUARE, STEP = 122, 10, 14  # room for a group's name, a square and its place
ANSWERS = {"met": later("met"), "unconfirmed": later("cannot be confirmed"), "off": later("below or above")}


def energy_bar(parts: Sequence[tuple[str, float]], title: str) -> str:
    """A day's or a batch's energy as one bar. parts: (name, kcal), of which nothing is left out."""
    whole = sum(kcal for _, kcal in parts)
    if not whole > 0:
        return ""
    told = [f"{name} {number(kcal / whole * 100)} %" for name, kcal in parts]
    picture = _picture(66, f"{title}: {', '.join(told)}.")
    _text(picture, 0, 14, title, size=13, weight="600")
    x = 0.0
    for (_, kcal), words, grey in zip(parts, told, GREYS, strict=False):
        width = WIDTH * kcal / whole
        frame = {
            "x": f"{x:.1f}",
            "y": "22",
            "width": f"{width:.1f}",
            "height": "16",
            "fill": grey,
            "stroke": INK,
        }
        ElementTree.SubElement(picture, "rect", frame)
        _text(
            picture,
            x,
            56,
            words,
            size=12,
            anchor="end" if x + width > WIDTH - 1 and x else "start",
            right=x + width,
        )
        x += width
    return _written(picture)


def weight_curve(points: Sequence[tuple[str, float]], target_kg: float | None) -> str:
    """Weigh-ins (day as ISO text, kg) with the target as a dashed line; empty for fewer than two."""
    if len(points) < 2:
        return ""
    days = [date.fromisoformat(day) for day, _ in points]
    kgs = [kg for _, kg in points]
    marks = [*kgs, *([target_kg] if target_kg else [])]
    low, high = min(marks), max(marks)
    span, long = (high - low) or 1.0, (days[-1] - days[0]).days or 1
    place = [
        (40 + (WIDTH - 110) * (day - days[0]).days / long, 20 + 90 * (high - kg) / span)
        for day, kg in zip(days, kgs, strict=True)
    ]
    picture = _picture(146, _curve_words(days, kgs, target_kg))
    line = " ".join(f"{x:.1f},{y:.1f}" for x, y in place)
    ElementTree.SubElement(picture, "polyline", {"points": line, **LINE})
    for x, y in place:
        dot = {"cx": f"{x:.1f}", "cy": f"{y:.1f}", "r": "3.5", "fill": INK}
        ElementTree.SubElement(picture, "circle", dot)
    (x0, y0), (x1, y1) = place[0], place[-1]
    _text(picture, x0, y0 + (16 if kgs[1] > kgs[0] else -8), body(kgs[0])[0], size=12)
    _text(picture, x1 + 8, y1 + 4, body(kgs[-1])[0], size=13, weight="600")
    if target_kg:
        y = 20 + 90 * (high - target_kg) / span
        ends = {"x1": "40", "x2": f"{WIDTH - 62}", "y1": f"{y:.1f}", "y2": f"{y:.1f}"}
        ElementTree.SubElement(picture, "line", {**ends, "stroke": QUIET, "stroke-dasharray": "6 4"})
        aim = say("target {weight}").format(weight=body(target_kg)[0])
        _text(picture, 44, y - 5 if y > 60 else y + 14, aim, size=12)
    _text(picture, 40, 140, language.short_day(days[0]), size=12)
    _text(picture, WIDTH - 62, 140, language.short_day(days[-1]), size=12, anchor="end")
    return _written(picture)


def _curve_words(days: Sequence[date], kgs: Sequence[float], target_kg: float | None) -> str:
    said = say("Weight from {first} on {begin} to {last} on {end}.").format(
        first=body(kgs[0])[0],
        begin=language.day(days[0]),
        last=body(kgs[-1])[0],
        end=language.day(days[-1]),
    )
    aim = say("Target {weight}.").format(weight=body(target_kg)[0]) if target_kg else ""
    return f"{said} {aim}".strip()


def adequacy_squares(summary: Sequence[Mapping]) -> str:
    """A square for each nutrient, a row for each group: full when met, dashed when nobody can tell, notched
    when below or above. summary: of the record, each with group, met, unconfirmed and off.
    """
    if not summary:
        return ""
    height = 20 * len(summary) + 22
    picture = _picture(height, _summary_words(summary))
    for row, line in enumerate(summary):
        y = 20 * row + 4
        _text(picture, 0, y + 9, line["group"], size=11)
        answers = [answer for answer in ANSWERS for _ in line[answer]]
        for place, answer in enumerate(answers):
            _square(picture, NAMES + STEP * place, y, answer)
    x = 0.0
    for answer, meaning in ANSWERS.items():
        words = say(meaning)
        _square(picture, x, height - 16, answer)
        _text(picture, x + STEP, height - 7, words, size=11)
        x += 2 * STEP + 5.6 * len(words)
    return _written(picture)


def _summary_words(summary: Sequence[Mapping]) -> str:
    counts = {key: sum(len(line[key]) for line in summary) for key in ANSWERS}
    said = say("{met} nutrients are met, {unconfirmed} cannot be confirmed, {off} are below or above.")
    return said.format(**counts)


def _square(picture, x: float, y: float, answer: str) -> None:
    frame = {"x": f"{x}", "y": f"{y}", "width": f"{SQUARE}", "height": f"{SQUARE}", "stroke": INK}
    looks = {
        "met": {"fill": INK},
        "unconfirmed": {"fill": PAPER, "stroke-dasharray": "3 2"},
        "off": {"fill": PAPER, "stroke-width": "2"},
    }
    ElementTree.SubElement(picture, "rect", frame | looks[answer])
    if answer == "off":
        cross = f"M{x + 3} {y + 3} l4 4 m0 -4 l-4 4"
        ElementTree.SubElement(picture, "path", {"d": cross, **LINE})


def _picture(height: int, words: str):
    frame = {"viewBox": f"0 0 {WIDTH} {height}", "role": "img", "class": "drawn"}
    picture = ElementTree.Element("svg", {"xmlns": "http://www.w3.org/2000/svg", **frame})
    ElementTree.SubElement(picture, "title").text = words
    return picture


def _text(picture, x, y, words, *, size, weight="400", anchor="start", right=None) -> None:
    where = {"x": f"{x if anchor == 'start' or right is None else right:.1f}", "y": f"{y:.1f}"}
    looks = {"font-size": f"{size}", "font-weight": weight, "text-anchor": anchor, **FONT}
    ElementTree.SubElement(picture, "text", where | looks).text = words


def _written(picture) -> str:
    return ElementTree.tostring(picture, encoding="unicode")
