"""Draws one person's course as a PNG for a phone."""

import datetime as dt
from collections.abc import Sequence
from math import nan

from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle
from matplotlib.text import Text
from matplotlib.transforms import BboxBase

from bot.drawing.canvas import (
    CHANCE,
    DPI,
    HALO,
    INK,
    LINE,
    PAPER,
    QUIET,
    bare,
    blank,
    date_ticks,
    day_number,
    name_dates,
    png,
)  # fmt: skip
from bot.drawing.course import Style, evenings, key_of_days, steps
from bot.drawn.course import ProgressFacts, Words, weekly_means

WIDTH, HEIGHT = 900, 700  # pixels; the text of 11 points is 1.5 mm high on a six-inch phone
KEY_ROW, KILOS = 30, 150  # what a second row of the key, and the line of the weight, add to the height
LEFT, RIGHT, BOTTOM, TOP = 0.075, 0.925, 140, 546  # shares of the width, pixels from below
STRIP = (11.45, 1.05)  # the row of steps: where it begins and its height, in points of pain
NO_DAY = dt.date(1, 1, 1)
LEAST_SPAN = 14  # days; one dot alone should not stand on an axis of hours


def draw(facts: ProgressFacts) -> bytes:
    """The picture as PNG bytes; the same facts give the same bytes."""
    return png(compose(facts))


def compose(facts: ProgressFacts) -> Figure:
    """The picture before it is turned into pixels."""
    weighs = any(grams for _, grams in facts.loads)
    below = KEY_ROW * (facts.first is not None) + KILOS * weighs
    figure = blank(WIDTH, HEIGHT + below)
    first, last = _span(facts)
    axes = _frame(figure, first, last, facts.words, below)
    _steps(figure, axes, facts)
    if facts.first is not None:
        around = facts.first - facts.apart, facts.first + facts.apart
        axes.axhspan(max(around[0], 0), min(around[1], 10), facecolor=CHANCE, linewidth=0, zorder=0.5)
        for edge in around:
            axes.axhline(edge, color=QUIET, linewidth=1, linestyle=(0, (1, 3)), zorder=0.6)
    if weighs:
        _kilos(figure, axes, facts, last)
    dense = max(0.0, min(1.0, ((last - first).days - 60) / 300))  # 0: two months or less, 1: a year or more
    evenings(axes, facts.days, 44 - 32 * dense, 0.9 - 0.35 * dense, (-0.3, 0.02), 1.6 - 0.9 * dense)
    means = weekly_means(facts.days)
    _means(axes, means, dense, facts.words)
    _flares(figure, axes, facts)
    _injections(axes, facts)
    if any(day.pain is not None for day in facts.days):
        _key(figure, facts, bool(means), dense)
    else:
        axes.text(
            0.5, 0.5, facts.words.nothing, transform=axes.transAxes, ha="center", va="center",
            fontsize=14, color=QUIET, wrap=True,
        )
    return figure


def _span(facts: ProgressFacts) -> tuple[dt.date, dt.date]:
    """First and last day on the axis. An empty diary is drawn too: dates then come from the steps."""
    texts = [day.date for day in facts.days] + [end for band in facts.bands for end in band[:2]]
    dates = [dt.date.fromisoformat(text) for text in texts] or [NO_DAY]
    first = min(dates)
    return first, max(max(dates), first + dt.timedelta(days=LEAST_SPAN - 1))


def _frame(figure: Figure, first: dt.date, last: dt.date, words: Words, below: int) -> Axes:
    high = HEIGHT + below
    place = LEFT, (BOTTOM + below) / high, RIGHT - LEFT, (TOP - BOTTOM) / high
    axes = figure.add_axes(place, facecolor=PAPER)
    axes.set_ylim(-0.3, 10.3)
    axes.set_xlim(day_number(first) - 0.7, day_number(last) + 0.7)
    axes.set_yticks(range(0, 11, 2))
    bare(axes, 11.5)
    ticks = date_ticks(first, last, words.day_month, words.months) if first != NO_DAY else []
    name_dates(axes, ticks, 4, 4)
    title = figure.text(LEFT - 0.045, 1 - 38 / high, words.title, fontsize=14, color=INK, va="center")
    _fit(title, figure, RIGHT - LEFT + 0.08)
    return axes


def _kilos(figure: Figure, above: Axes, facts: ProgressFacts, last: dt.date) -> None:
    """The own weight below the pain, over the same days: a line that rises with it, broken where there is none."""
    high = figure.get_figheight() * DPI
    key = BOTTOM - 60 + KEY_ROW * (facts.first is not None)
    axes = figure.add_axes((LEFT, key / high, RIGHT - LEFT, (KILOS - 62) / high), facecolor=PAPER)
    axes.set_xlim(*above.get_xlim())
    kilos = [grams / 1000 if grams else nan for _, grams in facts.loads]
    days = [day_number(date) - 0.5 for date, _ in facts.loads]
    axes.step([*days, day_number(last) + 0.5], [*kilos, kilos[-1]], where="post", color=INK, linewidth=2.4)
    top = max(grams for _, grams in facts.loads) / 1000
    axes.set_ylim(0, top * 1.1)
    axes.set_xticks([])
    axes.set_yticks([0])
    bare(axes, 11.5, grid="")
    figure.text(LEFT - 0.045, (key + KILOS - 46) / high, facts.words.kilos, fontsize=11.5, color=INK, va="center")
    if facts.loads[-1][1]:
        now = f"{kilos[-1]:g}".replace(".", facts.words.decimal)
        axes.annotate(
            now, (axes.get_xlim()[1], kilos[-1]), xytext=(0, 3), textcoords="offset points", ha="right", va="bottom",
            fontsize=12.5, fontweight="bold", color=INK, annotation_clip=False,
        )  # fmt: skip


def _fit(text: Text, figure: Figure, share: float) -> None:
    """Shrinks a text until it takes at most `share` of the picture's width."""
    size = float(text.get_fontsize())
    while _width(text, figure) > share * WIDTH and size > 7:
        size -= 0.5
        text.set_fontsize(size)


def _box(artist: Artist, figure: Figure) -> BboxBase:
    return artist.get_window_extent(figure.canvas.get_renderer())  # type: ignore[attr-defined]


def _width(artist: Artist, figure: Figure) -> float:
    return float(_box(artist, figure).width)


def _steps(figure: Figure, axes: Axes, facts: ProgressFacts) -> None:
    """Names each step in the row above, as fully as its width allows."""
    for band, middle, room in steps(axes, facts.bands, STRIP, PAPER, edge=1.2):
        for label in (facts.words.step.format(step=band.step), str(band.step)):
            text = axes.text(
                middle, STRIP[0] + STRIP[1] / 2, label, ha="center", va="center_baseline", fontsize=11.5, color=INK
            )
            if _width(text, figure) + 10 <= room:
                break
            text.remove()


def _means(axes: Axes, means: Sequence[tuple[dt.date, float]], dense: float, words: Words) -> None:
    """The line, and the latest mean in figures where the axis ends."""
    if not means:
        return
    xs, ys = [day_number(date) for date, _ in means], [mean for _, mean in means]
    axes.plot(
        xs, ys, color=LINE, linewidth=2.8 - 0.6 * dense, marker="s", markersize=_square(dense),
        solid_joinstyle="round", zorder=4, clip_on=False,
    )
    end = axes.get_xlim()[1]
    axes.plot((xs[-1], end), (ys[-1], ys[-1]), color=LINE, linewidth=1, linestyle=(0, (2, 3)), zorder=2)
    axes.annotate(
        f"{ys[-1]:.1f}".replace(".", words.decimal), (end, ys[-1]), xytext=(4, 0),
        textcoords="offset points", va="center", fontsize=12.5, fontweight="bold", color=LINE,
        annotation_clip=False,
    )


def _square(dense: float) -> float:
    return 6.5 - 4 * dense if dense < 1 else 0  # a hundred squares in a row hide the line they sit on


def _flares(figure: Figure, axes: Axes, facts: ProgressFacts) -> None:
    """A short arrow down to each flare's evening; its word wherever there is room for it."""
    pains = {day_number(day.date): day.pain for day in facts.days if day.pain is not None}
    near = 0.04 * (axes.get_xlim()[1] - axes.get_xlim()[0])  # half a word, in days
    taken = -1.0
    for x in sorted(day_number(date) for date in facts.flares):
        around = [pain for day, pain in pains.items() if abs(day - x) <= near]
        highest = max([*around, 0])
        tail = min(highest + 1.5, 10.75)
        axes.annotate(
            "", xy=(x, pains.get(x, highest) + 0.3), xytext=(x, tail), annotation_clip=False, zorder=6,
            arrowprops={"arrowstyle": "-|>", "color": INK, "linewidth": 1.4, "shrinkA": 0, "shrinkB": 0},
        )
        word = axes.text(
            x, tail + 0.07, facts.words.flare, ha="center", va="bottom", fontsize=11.5, color=INK,
            path_effects=HALO, zorder=7,
        )
        box = _box(word, figure)
        if box.x0 <= taken:
            word.remove()
        else:
            taken = float(box.x1) + 8


def _injections(axes: Axes, facts: ProgressFacts) -> None:
    """A line down the evening on which each was told: what falls after it may be the needle's doing."""
    for date in facts.injections:
        x = day_number(date)
        axes.axvline(x, color=INK, linewidth=1.2, linestyle=(0, (4, 3)), zorder=2)
        axes.text(
            x, 0.15, facts.words.injection, rotation=90, ha="right", va="bottom", fontsize=10.5, color=INK,
            path_effects=HALO, zorder=7,
        )


def _key(figure: Figure, facts: ProgressFacts, has_means: bool, dense: float) -> None:
    style = Style(text=11.25, dot=7, line=2.8, square=6.5 if dense < 1 else 0, tick=1.6, dates=0, ground=PAPER)
    entries = key_of_days(facts.days, facts.words, style, means=has_means)
    if facts.first is not None:
        chance = facts.words.chance
        entries.append(Rectangle((0, 0), 1, 1, facecolor=CHANCE, edgecolor=QUIET, linestyle=":", label=chance))
    columns, size = len(entries) if facts.first is None else 2, 11.5
    while True:
        legend = figure.legend(
            handles=entries, loc="lower center", bbox_to_anchor=(0.5, 0.012), ncols=columns, frameon=False,
            fontsize=size, labelcolor=INK, handletextpad=0.4, columnspacing=1.6, handlelength=1.7,
        )
        if _width(legend, figure) <= 0.98 * WIDTH or size <= 7:
            return
        legend.remove()
        size -= 0.5
