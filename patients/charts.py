"""Charts as SVG. Pure: drawn with matplotlib's own figures, never through its global state.

Ink lines on white with the names at the lines; colours are those of static/css/tokens.css.
"""

import io
from datetime import date, timedelta
from pathlib import Path

import font_source_sans_pro
import matplotlib.dates as mdates
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.ticker import MaxNLocator

INK, QUIET, LINE, LEAF = "#20302a", "#5b6a62", "#ddd5c6", "#2c6a4b"
FONT = FontProperties(
    fname=Path(font_source_sans_pro.__file__).parent / "files" / "SourceSansPro-Regular.otf", size=11
)
SIZE_INCHES = (7.6, 3.2)
LEAST_DAYS = 14  # a single weigh-in still stands on an axis of two weeks
LEAST_SPAN_SHARE = 0.08  # of the weight: a change of a few grams must not look like a cliff


def weight_chart(weights: list[tuple[date, float]], target_kg: float | None = None) -> bytes:
    """Weigh-ins [kg] over time as SVG, with the target weight [kg] as a dashed line.

    Raises ValueError when there is no weigh-in.
    """
    if not weights:
        raise ValueError("There is no weigh-in to draw.")
    figure = Figure(figsize=SIZE_INCHES, layout="constrained")
    axes = figure.add_subplot()
    days, kgs = zip(*sorted(weights), strict=True)
    axes.plot(days, kgs, color=INK, linewidth=1.6, marker="o", markersize=5)
    _set_range(axes, days, kgs, target_kg)
    for index in {0, len(days) - 1}:
        _label(axes, (days[index], kgs[index]), f"{kgs[index]:.4g} kg", INK, (0, 9), "center")
    if target_kg:
        axes.axhline(target_kg, color=LEAF, linewidth=1.4, dashes=(5, 3))
        start = axes.get_xlim()[0]
        _label(axes, (start, target_kg), f"target {target_kg:.3g} kg", LEAF, (4, 5), "left")
    _dress(axes)
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
    axes.spines[["top", "right"]].set_visible(False)
    axes.spines[["left", "bottom"]].set_color(LINE)
    axes.grid(axis="y", color=LINE, linewidth=0.6)
    axes.set_axisbelow(True)
    axes.yaxis.set_major_locator(MaxNLocator(5))
    axes.yaxis.set_major_formatter("{x:.4g} kg")
    locator = mdates.AutoDateLocator(minticks=2, maxticks=6)
    axes.xaxis.set_major_locator(locator)
    axes.xaxis.set_major_formatter(mdates.DateFormatter("%-d %b %y"))
    axes.tick_params(colors=QUIET, length=0)
    for tick in (*axes.get_xticklabels(), *axes.get_yticklabels()):
        tick.set_fontproperties(FONT)


def _svg(figure: Figure) -> bytes:
    target = io.BytesIO()
    FigureCanvasSVG(figure).print_svg(target, metadata={"Date": None})
    return target.getvalue()
