"""Draws the digest's picture: small courses side by side, as a phone shows them."""

from math import ceil

from matplotlib.figure import Figure
from matplotlib.text import Text

from bot.drawing.canvas import INK, LINE, QUIET, blank, png, unknown_letters
from bot.drawing.course import HIGHEST, LOWEST, PHONE, WIDE, course, key_of
from bot.drawn.course import LineWords, Panel, PanelsFacts

WIDTH = 1080  # pixels across a phone of 68 mm: a text of 12 points is 1.6 mm high
MARGIN, GUTTER, HEAD, KEY = 26, 48, 124, 120
NAME, WHY, STEPS, PLOT, DATES, GAP = 44, 70, 34, 196, 50, 34  # the rows of a panel, from the top
ALONE = 3  # so few panels stand below each other at full width


def draw_panels(facts: PanelsFacts) -> bytes:
    """The picture as PNG bytes; the same facts give the same bytes."""
    return png(compose_panels(facts))


def compose_panels(facts: PanelsFacts) -> Figure:
    """The picture before it is turned into pixels: one column for a few patients, two for more."""
    columns = 1 if len(facts.panels) <= ALONE else 2
    rows = ceil(len(facts.panels) / columns)
    each = NAME + WHY + STEPS + PLOT + DATES + GAP
    height = HEAD + rows * each + KEY
    figure = blank(WIDTH, height)
    writer = _Writer(figure, height)
    writer.fitted(MARGIN, 44, facts.title, WIDTH - 2 * MARGIN, size=16, weight="bold")
    writer.fitted(MARGIN, 92, facts.note, WIDTH - 2 * MARGIN, size=12, color=QUIET)
    width = (WIDTH - 2 * MARGIN - (columns - 1) * GUTTER) / columns
    for place, panel in enumerate(facts.panels):
        left = MARGIN + (place % columns) * (width + GUTTER)
        _panel(writer, panel, facts.words, (left, HEAD + (place // columns) * each, width))
    _key(figure, facts, height)
    return figure


class _Writer:
    """Places text on a picture by pixels from its upper left corner."""

    def __init__(self, figure: Figure, height: int) -> None:
        self.figure = figure
        self.height = height

    def fitted(self, x: float, y: float, words: str, room: float, *, size: float, color: str = INK,
               weight: str = "normal", ha: str = "left") -> Text:  # fmt: skip
        """One line, cut with an ellipsis where it is longer than `room` pixels."""
        text = self.figure.text(
            x / WIDTH, 1 - y / self.height, words, fontsize=size, color=color, fontweight=weight, ha=ha,
            va="center", parse_math=False,
        )
        shown = words
        while _width(text) > room and len(shown) > 1:
            keep = min(len(shown) - 1, int(len(shown) * room / _width(text)) + 1)
            shown = shown[:keep].rstrip()
            text.set_text(f"{shown}…")
        return text

    def lines(self, x: float, y: float, words: str, room: float, step: float, most: int, *, size: float) -> None:
        """Words over at most so many lines; the last one is cut where there are more."""
        rest = words.split()
        for number in range(most):
            line = " ".join(rest)
            if number < most - 1:
                line = self._as_many_as_fit(rest, room, size)
                rest = rest[len(line.split()) :]
            if line:
                self.fitted(x, y + number * step, line, room, size=size)

    def _as_many_as_fit(self, words: list[str], room: float, size: float) -> str:
        probe = self.figure.text(0, 0, "", fontsize=size, parse_math=False)
        line = words[0] if words else ""
        for count in range(2, len(words) + 1):
            probe.set_text(" ".join(words[:count]))
            if _width(probe) > room:
                break
            line = " ".join(words[:count])
        probe.remove()
        return line


def _width(text: Text) -> float:
    with unknown_letters():
        return float(text.get_window_extent().width)


def _panel(writer: _Writer, panel: Panel, words: LineWords, place: tuple[float, float, float]) -> None:
    left, top, width = place
    middle = top + NAME / 2
    mean = writer.fitted(left + width, middle, panel.mean, width / 3, size=15, color=LINE, weight="bold", ha="right")
    number = writer.fitted(left, middle, panel.number, width / 3, size=14, weight="bold")
    indent = _width(number) + 12
    writer.fitted(left + indent, middle, panel.name, width - indent - _width(mean) - 24, size=14, weight="bold")
    writer.lines(left, top + NAME + 16, panel.why, width, 32, 2, size=12)
    bottom = top + NAME + WHY + STEPS + PLOT
    axis = 34  # pixels for the figures of the scale
    axes = writer.figure.add_axes(
        ((left + axis) / WIDTH, 1 - bottom / writer.height, (width - axis) / WIDTH, PLOT / writer.height)
    )
    course(axes, panel.line, words, PHONE if width < WIDTH / 2 else WIDE, (HIGHEST - LOWEST) * STEPS / PLOT)


def _key(figure: Figure, facts: PanelsFacts, height: int) -> None:
    handles = key_of([panel.line for panel in facts.panels], facts.words, PHONE)
    if handles:
        figure.legend(
            handles=handles, loc="lower left", bbox_to_anchor=(MARGIN / WIDTH - 0.01, 6 / height), ncols=3,
            frameon=False, fontsize=12, labelcolor=INK, handletextpad=0.5, columnspacing=1.6, handlelength=1.7,
        )
