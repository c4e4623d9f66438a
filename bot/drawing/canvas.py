"""What every picture shares: its canvas and colours, bare axes, dates under them that never touch, its pixels."""

import contextlib
import datetime as dt
import io
import warnings
from collections.abc import Iterator, Sequence
from typing import Literal

from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.dates import date2num
from matplotlib.figure import Figure
from matplotlib.patheffects import withStroke
from PIL import Image

DPI = 150
PAPER, SHADE, LIGHT, DARK, INK, QUIET, RULED = (
    "#fcfbf8", "#f3f0e8", "#ebe7dd", "#dbd5c6", "#26303a", "#6b737b", "#d8d4ca",
)  # fmt: skip
DOT, LINE, CHANCE = "#6f8195", "#3d3563", "#dde6ee"
HALO = (withStroke(linewidth=4, foreground=PAPER),)  # keeps a word readable across dots and lines

MOST_LABELS = 6
DAY_STEPS = (1, 2, 3, 7, 14)
MONTH_STEPS = (1, 2, 3, 6, 12)


def blank(width: float, height: float, ground: str = PAPER) -> Figure:
    """An empty picture of so many pixels."""
    figure = Figure(figsize=(width / DPI, height / DPI), dpi=DPI, facecolor=ground)
    FigureCanvasAgg(figure)
    return figure


def png(figure: Figure) -> bytes:
    """The picture as it is, in as many colours as it has; the same picture gives the same bytes."""
    out = io.BytesIO()
    with unknown_letters():
        figure.savefig(out, format="png", facecolor=PAPER, metadata={"Software": None})
    return out.getvalue()


def few_colours(figure: Figure, colours: int) -> bytes:
    """The picture as a small PNG: ink on paper needs few colours."""
    out = io.BytesIO()
    pixels(figure).quantize(colours).save(out, format="png", optimize=True)
    return out.getvalue()


def pixels(figure: Figure) -> Image.Image:
    canvas = figure.canvas
    assert isinstance(canvas, FigureCanvasAgg)
    with unknown_letters():
        canvas.draw()  # type: ignore[no-untyped-call]
    size = canvas.get_width_height()
    whole = Image.frombuffer("RGBA", size, bytes(canvas.buffer_rgba()), "raw", "RGBA", 0, 1)  # type: ignore[no-untyped-call]
    return whole.convert("RGB")


@contextlib.contextmanager
def unknown_letters() -> Iterator[None]:
    """A letter that the font lacks is drawn as a box; that is no reason to complain on every picture."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message=r"Glyph \d+ ")
        yield


def bare(axes: Axes, size: float, *, grid: Literal["", "y", "both"] = "y", pad: float = 3.5) -> None:
    """A base line and words of that size; no frame and no marks, at most thin lines across."""
    for side in ("top", "left", "right"):
        axes.spines[side].set_visible(False)
    axes.spines["bottom"].set_color(QUIET)
    if grid:
        axes.grid(axis=grid, color=RULED, linewidth=0.8)
        axes.set_axisbelow(True)
    axes.tick_params(colors=INK, labelsize=size, length=0, pad=pad)


def day_number(date: dt.date | str) -> float:
    """Where a day, or its ISO text, stands on an axis of dates."""
    day = dt.date.fromisoformat(date) if isinstance(date, str) else date
    return float(date2num(day))  # type: ignore[no-untyped-call]


def name_dates(axes: Axes, ticks: Sequence[tuple[dt.date, str]], length: float, pad: float) -> None:
    """Marks and names those dates under the axes."""
    axes.tick_params(axis="x", length=length, color=QUIET, pad=pad)
    axes.set_xticks([day_number(date) for date, _ in ticks], [label for _, label in ticks])


def date_ticks(first: dt.date, last: dt.date, day_month: str, months: Sequence[str]) -> list[tuple[dt.date, str]]:
    """At most six (date, label) between two days, both in; the year stands where it begins.

    `day_month` is a format with `day` and `month`; `months` are twelve short names.
    """
    span = (last - first).days
    for step in DAY_STEPS:
        if span // step < MOST_LABELS:
            dates = [first + dt.timedelta(days=n) for n in range(0, span + 1, step)]
            return [(date, day_month.format(day=date.day, month=months[date.month - 1])) for date in dates]
    for step in MONTH_STEPS:
        dates = _month_starts(first, last, step)
        if len(dates) <= MOST_LABELS:
            break
    return [(date, _month_label(date, months, with_year=n == 0 or date.month == 1)) for n, date in enumerate(dates)]


def _month_starts(first: dt.date, last: dt.date, step: int) -> list[dt.date]:
    starts = []
    year, month = first.year, first.month
    while (date := dt.date(year, month, 1)) <= last:
        if date >= first and (month - 1) % step == 0:
            starts.append(date)
        year, month = (year + 1, 1) if month == 12 else (year, month + 1)
    return starts


def _month_label(date: dt.date, months: Sequence[str], *, with_year: bool) -> str:
    name = months[date.month - 1]
    return f"{name}\n{date.year}" if with_year else name
