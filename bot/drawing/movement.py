"""Draws an exercise as lines on paper: something rests on a table, something beyond its edge turns about a joint.

Which outlines those are, and by how much they turn, comes with the facts; shapes.toml has the outlines.
"""

import io
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Circle, FancyArrowPatch, Polygon, Rectangle

from bot.drawing.canvas import INK, PAPER, QUIET, blank, few_colours, pixels
from bot.drawing.outlines import LINE, Points, curve, placed, shapes, silhouette, turned
from bot.drawn.routine import MovementFacts

WIDTH, HEIGHT = 960, 900  # pixels; four panels, and words of 12 points
MOVING_WIDTH, MOVING_HEIGHT, FRAMES, FRAME_MS = 480, 400, 8, 180
SKIN, OTHER, WATER, WOOD, WRONG = "#f6e7d6", "#dfe6ea", "#9cc4de", "#e4d8c3", "#a3262a"


@dataclass(frozen=True, slots=True)
class Pose:
    """One moment: the angle of what turns, how far what rests is lifted off the table, who helps."""

    angle: float
    tilt: float = 0.0
    helper: str = ""
    circling: bool = False


@dataclass(frozen=True, slots=True)
class View:
    """One panel seen from the side, mirrored for the left arm; `joint` is what all turns about."""

    axes: Axes
    facts: MovementFacts
    joint: tuple[float, float]
    flip: int

    @property
    def turns(self) -> dict[str, Any]:
        """The outlines of what turns."""
        outlines: dict[str, Any] = shapes()[self.facts.turns]
        return outlines

    @property
    def radius(self) -> float:
        """Of what is held, seen from its end."""
        return (3.3 if self.facts.held == "round" else 1.3) * self.facts.size

    @property
    def middle(self) -> tuple[float, float]:
        """Of what is held."""
        return self.turns["grip"]["at"], -self.radius + 0.7

    def put(self, points: Iterable[Any], angle: float) -> Points:
        """Where points of what turns are at that angle; turned over, the other way round."""
        up = -1.0 if self.facts.faces == "up" else 1.0
        return placed(np.asarray(points, float) * (1, up), angle, self.joint, self.flip)

    def outlines(self) -> list[Points]:
        """Of what turns: flat, or closed around what it holds."""
        return _fist(self) if self.facts.held else [curve(self.turns["side"])]

    def arrow(
        self, start: tuple[float, float], end: tuple[float, float], colour: str, *, bend: float = 0.0
    ) -> None:
        self.axes.add_artist(
            FancyArrowPatch(start, end, connectionstyle=f"arc3,rad={bend}", arrowstyle="-|>", mutation_scale=17,
                            lw=2.6, color=colour, zorder=8)
        )  # fmt: skip

    def name_helper(self, x: float, y: float) -> None:
        self.axes.text(
            x, y, self.facts.labels.helper, ha="center", va="center", fontsize=10, color=QUIET, zorder=8
        )


def draw_movement(facts: MovementFacts) -> bytes:
    """The picture as PNG bytes, or as a GIF that repeats; the same facts give the same bytes."""
    if facts.moving:
        return _gif(facts)
    figure = blank(WIDTH, HEIGHT)
    figure.text(0.5, 0.962, facts.labels.title, fontsize=14, color=INK, ha="center", va="center", weight="bold")
    panels = [figure.add_axes((x, y, 0.49, 0.455)) for y in (0.47, 0.005) for x in (0.005, 0.505)]
    _from_above(panels[0], facts)
    before, during = _helpers(facts)
    _panel(panels[1], facts, Pose(facts.start, helper=before, circling=facts.circles), facts.labels.start)
    _panel(panels[2], facts, Pose(facts.end, helper=during), facts.labels.end, ghost=True)
    _panel(panels[3], facts, _wrong(facts), facts.labels.wrong, crossed=True)
    return few_colours(figure, 48)


def _gif(facts: MovementFacts) -> bytes:
    """There and back; while it is brought back the other hand is there where it does that."""
    figure, frames = blank(MOVING_WIDTH, MOVING_HEIGHT), []
    for number in range(2 * FRAMES):
        figure.clear()
        figure.text(0.5, 0.94, facts.labels.title, fontsize=9.5, color=INK, ha="center", va="center", weight="bold")
        axes = figure.add_axes((0, 0, 1, 0.9))
        share = 0.5 - 0.5 * np.cos(np.pi * number / FRAMES)
        back = number >= FRAMES
        before, during = _helpers(facts)
        helper = during or (before if back or number == 0 else "")
        _panel(axes, facts, Pose(facts.start + (facts.end - facts.start) * float(share), helper=helper), "")
        frames.append(pixels(figure).quantize(24))
    out = io.BytesIO()
    frames[0].save(out, format="gif", save_all=True, append_images=frames[1:], duration=FRAME_MS, loop=0)
    return out.getvalue()


def _helpers(facts: MovementFacts) -> tuple[str, str]:
    """The other hand at the start, and while it is done: it brings what is held, or presses on what is kept still."""
    return ("", "presses") if facts.helper == "presses" else (facts.helper, "")


def _wrong(facts: MovementFacts) -> Pose:
    if facts.wrong == "sinks":
        return Pose(-45.0)
    return Pose(max(facts.start, facts.end), tilt=20.0) if facts.wrong == "rises" else Pose(facts.start * 0.2)


def _panel(
    axes: Axes, facts: MovementFacts, pose: Pose, label: str, *, ghost: bool = False, crossed: bool = False
) -> None:
    flip = -1 if facts.side == "left" else 1
    axes.set_axis_off()
    axes.set_aspect("equal")
    axes.set_xlim(-38 if flip > 0 else -27, 27 if flip > 0 else 38)
    axes.set_ylim(-27, 28)
    _table(axes, flip)
    rests = shapes()[facts.rests]
    lifted = turned(np.zeros((1, 2)), pose.tilt, (-rests["length"], 0.0))[0]
    view = View(axes, facts, (float(lifted[0]), float(lifted[1]) + rests["rests"]), flip)
    if ghost and facts.start != facts.end:
        _ghost(view)
    body = [
        placed(curve(shapes()["upper-arm"]["side"]), 0.0, (0, rests["rests"]), flip),
        placed(curve(rests["side"]), pose.tilt, view.joint, flip),
    ]
    _part(view, pose, body)
    if pose.circling:
        x, y = flip * (view.joint[0] + 21.5), view.joint[1]
        for way in (1, -1):
            view.arrow((x, y + way), (x, y + 11 * way), INK)
    if crossed and facts.wrong == "lifts":
        view.arrow((flip * 13, -13), (flip * 13, -3), WRONG)
    if crossed:
        for ends in ([-20, 22], [22, -20]):
            axes.plot([flip * -24, flip * 22], ends, color=WRONG, lw=4, zorder=9, alpha=0.6, solid_capstyle="round")
    if label:
        _caption(axes, label, WRONG if crossed else INK)


def _table(axes: Axes, flip: int) -> None:
    for left, right, low, high, zorder in ((-40.0, -1.2, -2.2, 0.0, 1), (-8.5, -5.5, -18.5, -2.2, 0)):
        corners = [(flip * left, low), (flip * right, low), (flip * right, high), (flip * left, high)]
        axes.add_artist(Polygon(corners, closed=True, facecolor=WOOD, edgecolor=INK, lw=1.4, zorder=zorder))


def _ghost(view: View) -> None:
    """Where it was at the start, and the way from there to the end."""
    for points in view.outlines():
        view.axes.add_artist(
            Polygon(view.put(points, view.facts.start), closed=True, fc="none", ec=QUIET, ls=(0, (4, 3)), lw=1.3,
                    zorder=1.5)
        )  # fmt: skip
    first, last = (
        (view.flip * (view.joint[0] + 21.5 * float(np.cos(each))), view.joint[1] + 21.5 * float(np.sin(each)))
        for each in (np.radians(view.facts.start), np.radians(view.facts.end))
    )
    view.arrow(first, last, INK, bend=0.32 * (1 if view.facts.end > view.facts.start else -1) * view.flip)


def _part(view: View, pose: Pose, body: list[Points]) -> None:
    """What turns, one with the `body` that it belongs to, with what it holds and the hand that helps."""
    angle = pose.tilt + pose.angle
    if not view.facts.held:
        thumb = view.put(curve(view.turns["thumb"]), angle)
        silhouette(view.axes, [thumb], SKIN, 5.0 if view.facts.faces == "up" else 2.5)
    silhouette(view.axes, [*body, *(view.put(each, angle) for each in view.outlines())], SKIN, 3.0)
    if view.facts.held:
        (x, y), *_ = view.put([view.middle], angle)
        _held(view, float(x), float(y))
    if pose.helper == "presses":
        _pressing(view, angle)
    elif pose.helper:
        _bringing(view, angle)


def _fist(view: View) -> list[Points]:
    """The back of the hand, and fingers closed around something round that is seen from its end."""
    grip, radius, middle = view.turns["grip"], view.radius, np.asarray(view.middle)
    arc = np.radians(np.linspace(grip["from"], grip["to"], 40))
    around = np.column_stack([np.cos(arc), np.sin(arc)])
    ring = np.vstack([middle + around * (radius + grip["thick"]), middle + around[::-1] * (radius - 0.2)])
    return [curve(view.turns["back"]), ring]


def _held(view: View, x: float, y: float) -> None:
    axes, facts, radius = view.axes, view.facts, view.radius
    words = facts.load.replace(" ", "\n")
    if facts.held == "hung":
        axes.plot([x - 0.8, x - 3.4, x + 3.4, x + 0.8], [y, y - 7, y - 7, y], color=INK, lw=1.6, zorder=3.9)
        axes.add_artist(Rectangle((x - 4.4, y - 16), 8.8, 9, facecolor="white", edgecolor=INK, lw=LINE, zorder=5))
        axes.text(x, y - 11.5, words, ha="center", va="center", fontsize=10, color=INK, zorder=6)
    axes.add_artist(Circle((x, y), radius, facecolor="white", edgecolor=INK, lw=LINE, zorder=5))
    if facts.held == "round":
        water = Rectangle((x - radius, y - radius), 2 * radius, 2 * radius * facts.full, facecolor=WATER, zorder=5.1)
        axes.add_artist(water)
        water.set_clip_path(Circle((x, y), radius - 0.15, transform=axes.transData))
        axes.text(x, y, words, ha="center", va="center", fontsize=8.5, color=INK, zorder=5.3, linespacing=0.9)


def _pressing(view: View, angle: float) -> None:
    """The other hand laid on from above: an arrow down for it, one up for what is kept still."""
    for name, zorder in (("helps", 6.0), ("helps_thumb", 6.5)):
        moved = np.add(curve(view.turns[name]), (1.6, 2.1))
        silhouette(view.axes, [placed(moved, angle, view.joint, view.flip)], OTHER, zorder)
    turn = np.radians(angle)
    tip = np.asarray(view.joint) + 10.5 * np.array([np.cos(turn), np.sin(turn)])
    x, y = view.flip * float(tip[0]), float(tip[1])
    view.arrow((x, y + 17), (x, y + 6.5), QUIET)
    view.arrow((x, y - 13), (x, y - 3), INK)
    view.name_helper(x, y + 18)


def _bringing(view: View, angle: float) -> None:
    """The other hand below what it brings up."""
    held = view.facts.held
    (x, y), *_ = view.put([view.middle if held else (9.0, 0.0)], angle)
    x, below = float(x), float(y - (view.radius + view.turns["grip"]["thick"] if held else 2.6))
    silhouette(view.axes, [np.add(curve(view.turns["cup"]), (x, below + 0.6))], OTHER, 2.0)
    view.arrow((x + view.flip * 8.2, below - 8), (x + view.flip * 8.2, below + 5), QUIET)
    view.name_helper(x, below - (17.5 if held == "hung" else 12.5))


def _from_above(axes: Axes, facts: MovementFacts) -> None:
    """What the person sees of their own arm: which way the thumb points, nails or the lines inside it."""
    axes.set_axis_off()
    axes.set_aspect("equal")
    axes.set_xlim(-18, 18)
    axes.set_ylim(-14, 20)
    mirrored = (facts.side == "left") != (facts.faces == "up")
    flip = -1 if mirrored else 1
    aside = -5.5 if facts.held == "round" else 0.0
    axes.add_artist(Rectangle((-17, -7.5), 34, 6.4, facecolor=WOOD, edgecolor=INK, lw=1.4, zorder=0))
    rests, turns = shapes()[facts.rests], shapes()[facts.turns]
    silhouette(axes, [curve(turns["above_thumb"]) * (flip, 1) + (aside, 0)], SKIN, 2.0)
    whole = [curve(rests["above"], smooth=False), curve(turns["above"])]
    silhouette(axes, [each * (flip, 1) + (aside, 0) for each in whole], SKIN, 3.0)
    axes.add_artist(Rectangle((-18, -14), 36, 6.4, facecolor=PAPER, edgecolor="none", zorder=4))
    if facts.faces == "down":
        for x, y, radius in turns["nails"]:
            axes.add_artist(Circle((flip * x + aside, y), radius, facecolor="white", edgecolor=INK, lw=1.3, zorder=5))
    else:
        for crease in turns["creases"]:
            line = curve(crease, closed=False) * (flip, 1) + (aside, 0)
            axes.plot(line[:, 0], line[:, 1], color=INK, lw=1.5, zorder=5)
    if facts.held == "round":
        _upright(axes, facts, 10.5)
    _caption(axes, facts.labels.above, INK)


def _upright(axes: Axes, facts: MovementFacts, x: float) -> None:
    """Upright, with as much water as it is to weigh."""
    wide, high = 3.0 * facts.size, 10.5 * facts.size
    low, lid = 0.4, 1.7 * facts.size
    glass = np.array([(-wide, 0), (wide, 0), (wide, high), (lid, high + 3), (-lid, high + 3), (-wide, high)])
    axes.add_artist(Rectangle((x - wide, low), 2 * wide, high * facts.full, facecolor=WATER, zorder=5))
    axes.add_artist(Polygon(np.add(glass, (x, low)), closed=True, facecolor="none", edgecolor=INK, lw=LINE, zorder=6))
    axes.add_artist(Rectangle((x - lid, low + high + 3), 2 * lid, 1.4, facecolor=INK, zorder=6))
    words = f"{facts.load}\n{facts.labels.water}"
    axes.text(x, low + high * 0.42, words, ha="center", va="center", fontsize=8, color=INK, zorder=7)


def _caption(axes: Axes, words: str, colour: str) -> None:
    axes.text(0.5, 0.015, words, transform=axes.transAxes, ha="center", va="bottom", fontsize=11.5, color=colour,
              zorder=10)  # fmt: skip
