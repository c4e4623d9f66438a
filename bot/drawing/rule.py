"""Draws how good the rule is as a PNG for a phone: false step-backs across, delay upwards, the best possible a line."""

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import NullFormatter, NullLocator

from bot.drawing.canvas import HALO, INK, LINE, PAPER, QUIET, bare, blank, few_colours
from bot.drawn.course import Mark, RuleFacts, RulePanel

WIDTH, EACH, HEAD, FOOT = 900, 470, 110, 70  # pixels
LEFT, RIGHT = 0.1, 0.97
RATES = (1, 2, 5, 10, 20, 50, 100)
LOWEST, HIGHEST, LONGEST = 0.6, 110, 15.5  # the ends of the axes
COLOURS = 32  # enough for ink on paper; the file is a fifth as large, and it lies beside the README
ROOM = 60  # pixels below each panel, for its numbers


def draw_rule(facts: RuleFacts) -> bytes:
    """The picture as PNG bytes; the same facts give the same bytes."""
    return few_colours(compose_rule(facts), COLOURS)


def height_of(panels: int) -> int:
    """The height in pixels of a picture with so many panels."""
    return HEAD + EACH * panels + FOOT


def compose_rule(facts: RuleFacts) -> Figure:
    """The picture before it is turned into pixels."""
    height = height_of(len(facts.panels))
    figure = blank(WIDTH, height)
    figure.text(0.03, 1 - 34 / height, facts.title, fontsize=13.5, color=INK, va="center")
    figure.text(0.03, 1 - 78 / height, facts.up, fontsize=11, color=QUIET, va="center")
    for place, panel in enumerate(facts.panels):
        bottom = height - HEAD - EACH * (place + 1) + ROOM
        box = (LEFT, bottom / height, RIGHT - LEFT, (EACH - ROOM - 10) / height)
        _panel(figure.add_axes(box, facecolor=PAPER), panel, facts, first=place == 0)
    figure.text(0.5, 28 / height, facts.across, fontsize=11, color=QUIET, ha="center", va="center")
    return figure


def _panel(axes: Axes, panel: RulePanel, facts: RuleFacts, *, first: bool) -> None:
    _frame(axes)
    axes.text(
        0.99, 0.97, panel.title, transform=axes.transAxes, ha="right", va="top", fontsize=12, color=INK,
        path_effects=HALO, zorder=6,
    )  # fmt: skip
    inside = [(rate, delay) for rate, delay in panel.curve if LOWEST <= rate <= HIGHEST and delay <= LONGEST]
    rates = [rate for rate, _ in inside]
    axes.plot(rates, [delay for _, delay in inside], color=LINE, linewidth=2.4, label=facts.best)
    aimed = [delay * (1 + facts.aim) for _, delay in inside]
    axes.plot(rates, aimed, color=LINE, linewidth=1.2, linestyle=(0, (4, 3)), label=facts.aimed)
    for mark in panel.marks:
        _mark(axes, mark)
    if first:
        axes.legend(loc="lower left", frameon=False, fontsize=10.5, labelcolor=INK, borderpad=0)


def _frame(axes: Axes) -> None:
    axes.set_xscale("log")
    axes.set_xlim(LOWEST, HIGHEST)
    axes.set_ylim(0, LONGEST)
    axes.set_xticks(RATES, [str(rate) for rate in RATES])
    axes.xaxis.set_minor_locator(NullLocator())
    axes.xaxis.set_minor_formatter(NullFormatter())
    axes.set_yticks(range(0, 16, 5))
    bare(axes, 11, grid="both")


def _mark(axes: Axes, mark: Mark) -> None:
    """The rule of this program is a filled square in bold, the others are hollow rounds: shapes, not colours."""
    if not (LOWEST <= mark.rate <= HIGHEST and mark.delay <= LONGEST):
        return
    axes.plot(
        [mark.rate], [mark.delay], marker="s" if mark.own else "o", markersize=8.5 if mark.own else 7.5,
        color=INK, markerfacecolor=INK if mark.own else PAPER, markeredgewidth=1.6, zorder=5,
    )  # fmt: skip
    right = mark.rate < 30
    axes.annotate(
        mark.name, (mark.rate, mark.delay), xytext=(8 if right else -8, 5), textcoords="offset points",
        ha="left" if right else "right", va="bottom", fontsize=11, color=INK,
        fontweight="bold" if mark.own else "normal", path_effects=HALO, zorder=6,
    )  # fmt: skip
