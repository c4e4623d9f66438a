"""Draws one course on ready axes, as small as asked: dots, weekly means, steps, flares, missed evenings."""

import contextlib
import datetime as dt
import warnings
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil
from pathlib import Path

from matplotlib import get_data_path
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.dates import date2num
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle
from PIL import Image

from bot.drawing.axis_dates import date_ticks
from bot.drawing.charts import DARK, DOT, INK, LIGHT, LINE, PAPER, QUIET, SHADE
from bot.drawn.course import Line, LineWords

DPI = 150
LOWEST, HIGHEST = -0.7, 12.0  # points of pain; missed evenings stand below zero, flares have room above ten
STRIP_SIZE = (7.1, 2.15)  # inches on paper


@dataclass(frozen=True, slots=True)
class Style:
    """Sizes of one drawing, in points; `dates` is how many stand under it at most."""

    text: float
    dot: float
    line: float
    square: float
    tick: float
    dates: int
    ground: str


PHONE = Style(text=12, dot=5.5, line=2.2, square=5, tick=1.6, dates=3, ground=PAPER)
WIDE = Style(text=12, dot=6.5, line=2.4, square=5.5, tick=1.8, dates=6, ground=PAPER)
ON_PAPER = Style(text=7.5, dot=3.4, line=1.4, square=2.8, tick=0.9, dates=6, ground="#ffffff")


def strip(line: Line, words: LineWords) -> Image.Image:
    """A course as a strip for paper: few colours, so that a file of a hundred stays small."""
    figure = compose_strip(line, words)
    canvas = figure.canvas
    assert isinstance(canvas, FigureCanvasAgg)
    with unknown_letters():
        canvas.draw()  # type: ignore[no-untyped-call]
    pixels = Image.frombuffer("RGBA", canvas.get_width_height(), bytes(canvas.buffer_rgba()))  # type: ignore[no-untyped-call]
    return pixels.convert("RGB").quantize(48, Image.Quantize.FASTOCTREE)


def fonts() -> tuple[Path, Path]:
    """The plotting library's own font, regular and bold: text on paper looks like the text in the pictures."""
    folder = Path(get_data_path()) / "fonts" / "ttf"
    return folder / "DejaVuSans.ttf", folder / "DejaVuSans-Bold.ttf"


def compose_strip(line: Line, words: LineWords) -> Figure:
    figure = Figure(figsize=STRIP_SIZE, dpi=DPI, facecolor="#ffffff")
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0.03, 0.21, 0.945, 0.69))
    course(axes, line, words, ON_PAPER, strip_height=1.25)
    figure.legend(
        handles=entries([line], words, ON_PAPER), loc="lower center", bbox_to_anchor=(0.5, -0.025), ncols=5,
        frameon=False, fontsize=ON_PAPER.text, labelcolor=INK, handletextpad=0.5, columnspacing=1.1,
        handlelength=1.6,
    )
    return figure


@contextlib.contextmanager
def unknown_letters() -> Iterator[None]:
    """A letter that the font lacks is drawn as a box; that is no reason to complain on every picture."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message=r"Glyph \d+ ")
        yield


def _number(date: dt.date | str) -> float:
    day = dt.date.fromisoformat(date) if isinstance(date, str) else date
    return float(date2num(day))  # type: ignore[no-untyped-call]


def course(axes: Axes, line: Line, words: LineWords, style: Style, strip_height: float) -> None:
    """Ratings, weekly means, steps, flares and missed evenings of one course on ready axes."""
    first, last = dt.date.fromisoformat(line.first), dt.date.fromisoformat(line.last)
    axes.set_facecolor(style.ground)
    axes.set_xlim(_number(first) - 0.8, _number(last) + 0.8)
    axes.set_ylim(LOWEST, HIGHEST)
    for side in ("top", "left", "right"):
        axes.spines[side].set_visible(False)
    axes.spines["bottom"].set_color(QUIET)
    axes.set_yticks((0, 5, 10))
    axes.grid(axis="y", color="#d8d4ca", linewidth=0.8)
    axes.set_axisbelow(True)
    axes.tick_params(colors=INK, labelsize=style.text, length=0, pad=style.text / 3)
    axes.tick_params(axis="x", length=style.text / 4, color=QUIET)
    ticks = _dates(first, last, words, style.dates)
    axes.set_xticks([_number(date) for date, _ in ticks], [label for _, label in ticks])
    _steps(axes, line, style, strip_height)
    _evenings(axes, line, style)
    _means(axes, line, style)
    if not any(day.pain is not None for day in line.days):
        clear = {"facecolor": style.ground, "edgecolor": "none", "pad": style.text / 2}  # of the lines of the scale
        axes.text(
            0.5, 0.5, words.nothing, transform=axes.transAxes, ha="center", va="center", fontsize=style.text,
            color=QUIET, bbox=clear,
        )


def _dates(first: dt.date, last: dt.date, words: LineWords, most: int) -> list[tuple[dt.date, str]]:
    """At most so many dates, each with room for its words on both sides, and no year: the title has it."""
    ticks = date_ticks(first, last, words.day_month, words.months)
    every = ceil(len(ticks) / most)
    edge = (last - first).days * 0.28 / most
    kept = [
        (date, label) for date, label in ticks[::every]
        if (date - first).days >= edge and (last - date).days >= edge
    ] or ticks[:1]
    many_years = (last - first).days > 360
    return [(date, label.replace("\n", " ") if many_years else label.partition("\n")[0]) for date, label in kept]


def _steps(axes: Axes, line: Line, style: Style, height: float) -> None:
    """Shades every other step and numbers each in a row above, where there is room for the number."""
    for index, band in enumerate(line.bands):
        left, right = _number(band.start) - 0.5, _number(band.end) + 0.5
        odd = index % 2
        if odd:
            axes.axvspan(left, right, color=SHADE, linewidth=0, zorder=0)
        axes.add_patch(
            Rectangle((left, HIGHEST), right - left, height, clip_on=False, facecolor=DARK if odd else LIGHT,
                      edgecolor=style.ground, linewidth=0.8)
        )  # fmt: skip
        room = axes.transData.transform((right, 0))[0] - axes.transData.transform((left, 0))[0]
        if room > style.text * DPI / 72 * 0.75:
            axes.text((left + right) / 2, HIGHEST + height / 2, str(band.step), ha="center", va="center_baseline",
                      fontsize=style.text, color=INK)  # fmt: skip


def _evenings(axes: Axes, line: Line, style: Style) -> None:
    rated = [(_number(day.date), day.pain) for day in line.days if day.pain is not None]
    span = (dt.date.fromisoformat(line.last) - dt.date.fromisoformat(line.first)).days
    dense = max(0.0, min(1.0, (span - 100) / 300))
    axes.scatter(
        [x for x, _ in rated], [float(pain) for _, pain in rated], s=(style.dot * (1 - 0.4 * dense)) ** 2,
        color=DOT, alpha=0.9 - 0.3 * dense, linewidths=0, zorder=3, clip_on=False,
    )
    missed = [_number(day.date) for day in line.days if day.asked and day.pain is None]
    axes.vlines(missed, LOWEST, LOWEST + 0.75, color=INK, linewidth=style.tick * (1 - 0.5 * dense), zorder=3)
    axes.scatter(
        *_above(rated, [_number(date) for date in line.flares], near=4 if dense else 2), marker="v",
        s=(style.dot * 1.7) ** 2, color=INK, linewidths=0, zorder=6, clip_on=False,
    )


def _above(
    rated: list[tuple[float, int]], flares: list[float], near: float
) -> tuple[list[float], list[float]]:
    """Where a mark for each flare stands clear of the ratings around it."""
    highest = [max((pain for x, pain in rated if abs(x - flare) <= near), default=5) for flare in flares]
    return flares, [pain + 1.4 for pain in highest]


def _means(axes: Axes, line: Line, style: Style) -> None:
    """The line through the weekly means; it is broken where a week has none."""
    points = [(_number(date), mean) for date, mean in line.means]
    runs: list[list[tuple[float, float]]] = [points[:1]] if points else []
    for before, after in pairwise(points):
        if after[0] - before[0] > 10:
            runs.append([])
        runs[-1].append(after)
    many = len(points) > 60
    for run in runs:
        axes.plot([x for x, _ in run], [y for _, y in run], color=LINE, linewidth=style.line, marker="s",
                  markersize=0 if many else style.square, solid_joinstyle="round", zorder=4, clip_on=False)  # fmt: skip


def entries(lines: Sequence[Line], words: LineWords, style: Style) -> list[Line2D | Rectangle]:
    """The key: only what is there, told apart by shape."""
    dot, square = style.dot, style.square
    found: list[Line2D | Rectangle] = []
    if any(day.pain is not None for line in lines for day in line.days):
        found.append(Line2D([], [], marker="o", linestyle="", color=DOT, markersize=dot, label=words.evening))
    if any(line.means for line in lines):
        found.append(
            Line2D([], [], marker="s", color=LINE, linewidth=style.line, markersize=square, label=words.weekly_mean)
        )
    if any(day.asked and day.pain is None for line in lines for day in line.days):
        found.append(
            Line2D([], [], marker="|", linestyle="", color=INK, markersize=style.text * 0.8,
                   markeredgewidth=style.tick, label=words.missed)
        )  # fmt: skip
    if any(line.flares for line in lines):
        found.append(Line2D([], [], marker="v", linestyle="", color=INK, markersize=dot * 1.6, label=words.flare))
    if any(line.bands for line in lines):
        found.append(Rectangle((0, 0), 1, 1, facecolor=DARK, edgecolor="none", label=words.step_key))
    return found
