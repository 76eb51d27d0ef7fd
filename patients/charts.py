"""Charts as SVG. Pure: drawn with matplotlib's own figures, never through its global state.

Ink lines on white with the names at the lines; colours are those of static/css/tokens.css.
"""

import io
from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path

import font_source_sans_pro
import matplotlib.dates as mdates
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.ticker import MaxNLocator

from patients.curves import CorridorWeek, GrowthPoint, LossCorridor
from patients.energy import GROWTH_PER_MBW_BY_SHARE

INK, QUIET, LINE, LEAF, WASH = "#20302a", "#5b6a62", "#ddd5c6", "#2c6a4b", "#f4f1ea"
FONT = FontProperties(
    fname=Path(font_source_sans_pro.__file__).parent / "files" / "SourceSansPro-Regular.otf", size=11
)
SIZE_INCHES = (7.6, 3.2)
LOOK_AHEAD_WEEKS = 8  # of a corridor after the last weigh-in: a far target must not squeeze what was weighed
LEAST_DAYS = 14  # a single weigh-in still stands on an axis of two weeks
LEAST_SPAN_SHARE = 0.08  # of the weight: a change of a few grams must not look like a cliff

DayAndKg = tuple[date, float]


def weight_chart(
    weights: Sequence[DayAndKg],
    target_kg: float | None = None,
    *,
    home: Sequence[DayAndKg] = (),
    corridor: LossCorridor | None = None,
    scores: Sequence[tuple[date, int]] = (),
    marks: Sequence[tuple[date, str]] = (),
) -> bytes:
    """Weigh-ins [kg] over time as SVG, with the target weight [kg] as a dashed line.

    weights: the practice's, as full dots; home: the owner's, as rings. scores: body condition, told where it
    changes. marks: a letter where something began. Raises ValueError when there is no weigh-in.
    """
    points = sorted([*weights, *home])
    if not points:
        raise ValueError("There is no weigh-in to draw.")
    figure = Figure(figsize=SIZE_INCHES, layout="constrained")
    axes = figure.add_subplot()
    days, kgs = zip(*points, strict=True)
    weeks = _in_sight(corridor, days[-1]) if corridor else []
    axes.plot(days, kgs, color=INK, linewidth=1.6)
    for dots, filling in ((weights, INK), (home, "white")):
        if dots:
            style = {"markerfacecolor": filling, "markeredgecolor": INK, "linestyle": "none"}
            axes.plot(*zip(*dots, strict=True), marker="o", markersize=5, zorder=3, **style)
    edges = [kg for week in weeks for kg in (week.fast_kg, week.slow_kg)]
    shown_until = max([days[-1], *(week.day for week in weeks)])
    _set_range(axes, (days[0], shown_until), [*kgs, *edges], target_kg)
    if weeks:
        _draw_corridor(axes, weeks, corridor)
    for index in {0, len(days) - 1}:
        _label(axes, (days[index], kgs[index]), f"{kgs[index]:.4g} kg", INK, (0, 9), "center")
    if target_kg:
        axes.axhline(target_kg, color=LEAF, linewidth=1.4, dashes=(5, 3))
        start = axes.get_xlim()[0]
        _label(axes, (start, target_kg), f"target {target_kg:.3g} kg", LEAF, (4, 5), "left")
    _tell_scores(axes, dict(weights), scores)
    _tell_marks(axes, marks)
    _dress(axes)
    return _svg(figure)


def _in_sight(corridor: LossCorridor, last: date) -> list[CorridorWeek]:
    """The weeks of the corridor up to some time after the last weigh-in."""
    until = last + timedelta(weeks=LOOK_AHEAD_WEEKS)
    return [week for week in corridor.weeks() if week.day <= until]


def _draw_corridor(axes, weeks: list[CorridorWeek], corridor: LossCorridor) -> None:
    days = [week.day for week in weeks]
    fast, slow = [week.fast_kg for week in weeks], [week.slow_kg for week in weeks]
    axes.fill_between(days, fast, slow, facecolor=WASH, edgecolor=LINE, hatch="...", linewidth=0)
    for side, kgs in ((corridor.fast, fast), (corridor.slow, slow)):
        axes.plot(days, kgs, color=LEAF, linewidth=0.9)
        at = next((i for i, kg in enumerate(kgs) if kg <= corridor.target_kg), len(days) - 1)
        below = side == corridor.fast
        offset, align = ((-3, -13), "right") if below else ((-3, 15), "right")
        _label(axes, (days[at], kgs[at]), f"{side:g} % a week", LEAF, offset, align)


def _tell_scores(axes, kg_on: dict[date, float], scores: Sequence[tuple[date, int]]) -> None:
    """The body condition under its weigh-in, at first and wherever it changed."""
    told = None
    for day, score in sorted(scores):
        if score != told:
            _label(axes, (day, kg_on[day]), f"BCS {score}", QUIET, (0, -17), "center")
        told = score


def _tell_marks(axes, marks: Sequence[tuple[date, str]]) -> None:
    start, end = (mdates.num2date(edge).date() for edge in axes.get_xlim())
    for day, letter in marks:
        if start <= day <= end:
            axes.axvline(day, color=QUIET, linewidth=0.8, linestyle=(0, (1, 2)))
            at = (mdates.date2num(day), 1)  # above all that is drawn: below stands the body condition
            axes.annotate(
                letter, at, (0, 3), xycoords=("data", "axes fraction"), textcoords="offset points",
                color=INK, fontproperties=FONT, ha="center",
            )  # fmt: skip


def growth_chart(points: Sequence[GrowthPoint]) -> bytes:
    """Growth as percent of the expected adult weight over the age in weeks, as SVG.

    Fine lines stand where a growing dog's energy by its share of adult weight takes a step.
    Raises ValueError when there is no point.
    """
    if not points:
        raise ValueError("There is no weigh-in to draw.")
    figure = Figure(figsize=SIZE_INCHES, layout="constrained")
    axes = figure.add_subplot()
    ages, percents = [point.age_weeks for point in points], [point.percent for point in points]
    axes.plot(ages, percents, color=INK, linewidth=1.6, marker="o", markersize=5)
    axes.set_xlim(max(0, ages[0] - 4), ages[-1] + 8)
    axes.set_ylim(0, max(110, *percents) + 5)
    for share, _ in GROWTH_PER_MBW_BY_SHARE:
        axes.axhline(share * 100, color=LEAF, linewidth=1, dashes=(5, 3))
        words = "expected adult weight" if share == 1 else "energy step (FEDIAF)"
        _label(axes, (axes.get_xlim()[0], share * 100), f"{share * 100:.0f} %: {words}", LEAF, (4, 5), "left")
    for index in {0, len(ages) - 1}:
        _label(axes, (ages[index], percents[index]), f"{percents[index]:.0f} %", INK, (0, 9), "center")
    _dress_plain(axes)
    axes.yaxis.set_major_formatter("{x:.0f} %")
    axes.xaxis.set_major_locator(MaxNLocator(7, integer=True))
    axes.xaxis.set_major_formatter("{x:.0f} weeks")
    _in_font(axes)
    return _svg(figure)


def _set_range(axes, days, kgs, target_kg) -> None:
    """Room around the points, and never so close that noise looks like a change."""
    shown = [*kgs, *([target_kg] if target_kg else [])]
    middle, span = (max(shown) + min(shown)) / 2, max(shown) - min(shown)
    half = max(span * 0.65, max(shown) * LEAST_SPAN_SHARE)
    axes.set_ylim(max(0, middle - half), middle + half)
    spare = timedelta(days=max(LEAST_DAYS - (days[-1] - days[0]).days, 0) / 2 + 1)
    room = (days[-1] - days[0]) * 0.05 + spare
    axes.set_xlim(days[0] - room, days[-1] + room)


def _label(axes, at, text, colour, offset, align) -> None:
    axes.annotate(
        text, at, offset, textcoords="offset points", ha=align, color=colour, fontproperties=FONT
    )  # fmt: skip


def _dress(axes) -> None:
    """Quiet axes: kilograms on the left, few dates below."""
    _dress_plain(axes)
    axes.yaxis.set_major_formatter("{x:.4g} kg")
    locator = mdates.AutoDateLocator(minticks=2, maxticks=6)
    axes.xaxis.set_major_locator(locator)
    axes.xaxis.set_major_formatter(mdates.DateFormatter("%-d %b %y"))
    _in_font(axes)


def _dress_plain(axes) -> None:
    axes.spines[["top", "right"]].set_visible(False)
    axes.spines[["left", "bottom"]].set_color(LINE)
    axes.grid(axis="y", color=LINE, linewidth=0.6)
    axes.set_axisbelow(True)
    axes.yaxis.set_major_locator(MaxNLocator(5))
    axes.tick_params(colors=QUIET, length=0)


def _in_font(axes) -> None:
    for tick in (*axes.get_xticklabels(), *axes.get_yticklabels()):
        tick.set_fontproperties(FONT)


def _svg(figure: Figure) -> bytes:
    target = io.BytesIO()
    FigureCanvasSVG(figure).print_svg(target, metadata={"Date": None})
    return target.getvalue()
