"""Draws one course on ready axes, as small as asked: dots, weekly means, steps, flares, missed evenings."""

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle
from PIL import Image

from bot.drawing.canvas import (
    DARK,
    DOT,
    DPI,
    INK,
    LIGHT,
    LINE,
    PAPER,
    QUIET,
    SHADE,
    bare,
    blank,
    date_ticks,
    day_number,
    name_dates,
    pixels,
)  # fmt: skip
from bot.drawn.course import Band, Day, Line, LineWords, Words

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
    return pixels(compose_strip(line, words)).quantize(48, Image.Quantize.FASTOCTREE)


def compose_strip(line: Line, words: LineWords) -> Figure:
    figure = blank(STRIP_SIZE[0] * DPI, STRIP_SIZE[1] * DPI, ON_PAPER.ground)
    axes = figure.add_axes((0.03, 0.21, 0.945, 0.69))
    course(axes, line, words, ON_PAPER, strip_height=1.25)
    figure.legend(
        handles=key_of([line], words, ON_PAPER), loc="lower center", bbox_to_anchor=(0.5, -0.025), ncols=5,
        frameon=False, fontsize=ON_PAPER.text, labelcolor=INK, handletextpad=0.5, columnspacing=1.1,
        handlelength=1.6,
    )
    return figure


def course(axes: Axes, line: Line, words: LineWords, style: Style, strip_height: float) -> None:
    """Ratings, weekly means, steps, flares and missed evenings of one course on ready axes."""
    first, last = dt.date.fromisoformat(line.first), dt.date.fromisoformat(line.last)
    axes.set_facecolor(style.ground)
    axes.set_xlim(day_number(first) - 0.8, day_number(last) + 0.8)
    axes.set_ylim(LOWEST, HIGHEST)
    axes.set_yticks((0, 5, 10))
    bare(axes, style.text, pad=style.text / 3)
    name_dates(axes, _dates(first, last, words, style.dates), style.text / 4, style.text / 3)
    for band, middle, room in steps(axes, line.bands, (HIGHEST, strip_height), style.ground, edge=0.8):
        if room > style.text * DPI / 72 * 0.75:
            axes.text(middle, HIGHEST + strip_height / 2, str(band.step), ha="center", va="center_baseline",
                      fontsize=style.text, color=INK)  # fmt: skip
    dense = max(0.0, min(1.0, ((last - first).days - 100) / 300))
    size, missed = style.dot * (1 - 0.4 * dense), style.tick * (1 - 0.5 * dense)
    evenings(axes, line.days, size**2, 0.9 - 0.3 * dense, (LOWEST, LOWEST + 0.75), missed)
    _flares(axes, line, style, near=4 if dense else 2)
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


def steps(
    axes: Axes, bands: Sequence[Band], strip: tuple[float, float], ground: str, edge: float
) -> Iterator[tuple[Band, float, float]]:
    """Shades every other step, with a row above: `strip` is where that begins and its height.

    Yields each with its middle and the pixels that there are for its name.
    """
    for index, band in enumerate(bands):
        left, right = day_number(band.start) - 0.5, day_number(band.end) + 0.5
        odd = index % 2
        if odd:
            axes.axvspan(left, right, color=SHADE, linewidth=0, zorder=0)
        axes.add_patch(
            Rectangle((left, strip[0]), right - left, strip[1], clip_on=False, facecolor=DARK if odd else LIGHT,
                      edgecolor=ground, linewidth=edge)
        )  # fmt: skip
        room = axes.transData.transform((right, 0))[0] - axes.transData.transform((left, 0))[0]
        yield band, (left + right) / 2, room


def evenings(
    axes: Axes, days: Sequence[Day], area: float, alpha: float, ticks: tuple[float, float], width: float
) -> None:
    """A dot for each rating, a tick between those two heights for each evening without an answer."""
    rated = [(day_number(day.date), float(day.pain)) for day in days if day.pain is not None]
    axes.scatter(
        [x for x, _ in rated], [pain for _, pain in rated], s=area, color=DOT, alpha=alpha, linewidths=0, zorder=3,
        clip_on=False,
    )
    missed = [day_number(day.date) for day in days if day.asked and day.pain is None]
    axes.vlines(missed, *ticks, color=INK, linewidth=width, zorder=3)


def _flares(axes: Axes, line: Line, style: Style, near: float) -> None:
    """A mark for each flare, clear of the ratings around it."""
    rated = [(day_number(day.date), day.pain) for day in line.days if day.pain is not None]
    flares = [day_number(date) for date in line.flares]
    highest = [max((pain for x, pain in rated if abs(x - flare) <= near), default=5) for flare in flares]
    axes.scatter(
        flares, [pain + 1.4 for pain in highest], marker="v", s=(style.dot * 1.7) ** 2, color=INK, linewidths=0,
        zorder=6, clip_on=False,
    )


def _means(axes: Axes, line: Line, style: Style) -> None:
    """The line through the weekly means; it is broken where a week has none."""
    points = [(day_number(date), mean) for date, mean in line.means]
    runs: list[list[tuple[float, float]]] = [points[:1]] if points else []
    for before, after in pairwise(points):
        if after[0] - before[0] > 10:
            runs.append([])
        runs[-1].append(after)
    many = len(points) > 60
    for run in runs:
        axes.plot([x for x, _ in run], [y for _, y in run], color=LINE, linewidth=style.line, marker="s",
                  markersize=0 if many else style.square, solid_joinstyle="round", zorder=4, clip_on=False)  # fmt: skip


def key_of(lines: Sequence[Line], words: LineWords, style: Style) -> list[Line2D | Rectangle]:
    """The key: only what is there, told apart by shape."""
    days = [day for line in lines for day in line.days]
    found = key_of_days(days, words, style, means=any(line.means for line in lines))
    if any(line.flares for line in lines):
        size = style.dot * 1.6
        found.append(Line2D([], [], marker="v", linestyle="", color=INK, markersize=size, label=words.flare))
    if any(line.bands for line in lines):
        found.append(Rectangle((0, 0), 1, 1, facecolor=DARK, edgecolor="none", label=words.step_key))
    return found


def key_of_days(
    days: Sequence[Day], words: LineWords | Words, style: Style, *, means: bool
) -> list[Line2D | Rectangle]:
    """The key of the dots, the line and the ticks, as far as there are any."""
    found: list[Line2D | Rectangle] = []
    if any(day.pain is not None for day in days):
        found.append(Line2D([], [], marker="o", linestyle="", color=DOT, markersize=style.dot, label=words.evening))
    if means:
        found.append(
            Line2D([], [], marker="s", color=LINE, linewidth=style.line, markersize=style.square,
                   label=words.weekly_mean)
        )  # fmt: skip
    if any(day.asked and day.pain is None for day in days):
        found.append(
            Line2D([], [], marker="|", linestyle="", color=INK, markersize=style.text * 0.8,
                   markeredgewidth=style.tick, label=words.missed)
        )  # fmt: skip
    return found
