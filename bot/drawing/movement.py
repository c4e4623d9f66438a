"""Draws an exercise as lines on paper: something rests on a table, something beyond its edge turns about a joint.

Which outlines those are, and by how much they turn, comes with the facts; shapes.toml has the outlines.
"""

import io
import tomllib
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Circle, FancyArrowPatch, Polygon, Rectangle

from bot.drawing.canvas import INK, PAPER, QUIET, blank, few_colours, pixels
from bot.drawn.routine import MovementFacts

WIDTH, HEIGHT = 960, 900  # pixels; four panels, and words of 12 points
MOVING_WIDTH, MOVING_HEIGHT, FRAMES, FRAME_MS = 480, 400, 8, 180
SKIN, OTHER, WATER, WOOD, WRONG = "#f6e7d6", "#dfe6ea", "#9cc4de", "#e4d8c3", "#a3262a"
LINE = 2.0
Points = np.ndarray[Any, np.dtype[np.float64]]


@dataclass(frozen=True, slots=True)
class Pose:
    """One moment: the angle of what turns, how far what rests is lifted off the table, who helps."""

    angle: float
    tilt: float = 0.0
    helper: str = ""
    circling: bool = False


@cache
def _shapes() -> dict[str, Any]:
    return tomllib.loads((files("bot.drawing") / "shapes.toml").read_text(encoding="utf-8"))


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
    rests, turns = _shapes()[facts.rests], _shapes()[facts.turns]
    up = -1.0 if facts.faces == "up" else 1.0
    lifted = _turned(np.zeros((1, 2)), pose.tilt, (-rests["length"], 0.0))[0]
    joint = (float(lifted[0]), float(lifted[1]) + rests["rests"])
    if ghost and facts.start != facts.end:
        _ghost(axes, facts, turns, joint, flip, up)
        _sweep(axes, facts, joint, flip)
    body = [
        _at(_curve(_shapes()["upper-arm"]["side"]), 0.0, (0, rests["rests"]), flip),
        _at(_curve(rests["side"]), pose.tilt, joint, flip),
    ]
    _part(axes, facts, turns, pose, joint, flip, up, body)
    if pose.circling:
        _arrows(axes, facts, joint, flip)
    if crossed and facts.wrong == "lifts":
        _arrow(axes, (flip * 13, -13), (flip * 13, -3), WRONG)
    if crossed:
        axes.plot([flip * -24, flip * 22], [-20, 22], color=WRONG, lw=4, zorder=9, alpha=0.6, solid_capstyle="round")
        axes.plot([flip * -24, flip * 22], [22, -20], color=WRONG, lw=4, zorder=9, alpha=0.6, solid_capstyle="round")
    if label:
        _caption(axes, label, WRONG if crossed else INK)


def _table(axes: Axes, flip: int) -> None:
    for place, (low, high) in enumerate(((-2.2, 0.0), (-18.5, -2.2))):
        left, right = (-40.0, -1.2) if place == 0 else (-8.5, -5.5)
        corners = [(flip * left, low), (flip * right, low), (flip * right, high), (flip * left, high)]
        axes.add_artist(Polygon(corners, closed=True, facecolor=WOOD, edgecolor=INK, lw=1.4, zorder=1 - place))


def _part(
    axes: Axes, facts: MovementFacts, turns: dict[str, Any], pose: Pose, joint: tuple[float, float], flip: int,
    up: float, body: list[Points],
) -> None:  # fmt: skip
    """What turns, one with the `body` that it belongs to, with what it holds and the hand that helps."""
    angle = pose.tilt + pose.angle
    put = _putting(angle, joint, flip, up)
    if facts.held:
        _silhouette(axes, [*body, *map(put, _fist(facts, turns))], SKIN, 3.0)
        (x, y), *_ = put([_middle(facts, turns)])
        _held(axes, facts, float(x), float(y))
    else:
        _silhouette(axes, [put(_curve(turns["thumb"]))], SKIN, 2.5 if up > 0 else 5.0)
        _silhouette(axes, [*body, put(_curve(turns["side"]))], SKIN, 3.0)
    if pose.helper:
        _helper(axes, facts, turns, pose, angle, joint, flip, put)


def _ghost(
    axes: Axes, facts: MovementFacts, turns: dict[str, Any], joint: tuple[float, float], flip: int, up: float
) -> None:
    """Where it was at the start."""
    put = _putting(facts.start, joint, flip, up)
    for points in _fist(facts, turns) if facts.held else [_curve(turns["side"])]:
        axes.add_artist(
            Polygon(put(points), closed=True, fc="none", ec=QUIET, ls=(0, (4, 3)), lw=1.3, zorder=1.5)
        )


def _putting(angle: float, joint: tuple[float, float], flip: int, up: float) -> Callable[[Iterable[Any]], Points]:
    return lambda points: _at(np.asarray(points, float) * (1, up), angle, joint, flip)


def _radius(facts: MovementFacts) -> float:
    return (3.3 if facts.held == "round" else 1.3) * facts.size


def _middle(facts: MovementFacts, turns: dict[str, Any]) -> tuple[float, float]:
    return (turns["grip"]["at"], -_radius(facts) + 0.7)


def _fist(facts: MovementFacts, turns: dict[str, Any]) -> list[Points]:
    """The back of the hand, and fingers closed around something round that is seen from its end."""
    grip, radius, middle = turns["grip"], _radius(facts), np.asarray(_middle(facts, turns))
    arc = np.radians(np.linspace(grip["from"], grip["to"], 40))
    around = np.column_stack([np.cos(arc), np.sin(arc)])
    ring = np.vstack([middle + around * (radius + grip["thick"]), middle + around[::-1] * (radius - 0.2)])
    return [_curve(turns["back"]), ring]


def _held(axes: Axes, facts: MovementFacts, x: float, y: float) -> None:
    radius = _radius(facts)
    if facts.held == "hung":
        _hung(axes, x, y, facts.load)
    axes.add_artist(Circle((x, y), radius, facecolor="white", edgecolor=INK, lw=LINE, zorder=5))
    if facts.held == "round":
        low, high = y - radius, 2 * radius * facts.full
        water = Rectangle((x - radius, low), 2 * radius, high, facecolor=WATER, zorder=5.1)
        axes.add_artist(water)
        water.set_clip_path(Circle((x, y), radius - 0.15, transform=axes.transData))
        words = facts.load.replace(" ", "\n")
        axes.text(x, y, words, ha="center", va="center", fontsize=8.5, color=INK, zorder=5.3, linespacing=0.9)


def _hung(axes: Axes, x: float, y: float, load: str) -> None:
    axes.plot([x - 0.8, x - 3.4, x + 3.4, x + 0.8], [y, y - 7, y - 7, y], color=INK, lw=1.6, zorder=3.9)
    axes.add_artist(Rectangle((x - 4.4, y - 16), 8.8, 9, facecolor="white", edgecolor=INK, lw=LINE, zorder=5))
    axes.text(x, y - 11.5, load.replace(" ", "\n"), ha="center", va="center", fontsize=10, color=INK, zorder=6)


def _helper(
    axes: Axes, facts: MovementFacts, turns: dict[str, Any], pose: Pose, angle: float, joint: tuple[float, float],
    flip: int, put: Callable[[Iterable[Any]], Points],
) -> None:  # fmt: skip
    """The other hand: laid on from above, or below what it brings up; an arrow says which way it works."""
    if pose.helper == "presses":
        for name, zorder in (("helps", 6.0), ("helps_thumb", 6.5)):
            _silhouette(axes, [_at(_moved(turns[name], 1.6, 2.1), angle, joint, flip)], OTHER, zorder)
        turn = np.radians(angle)
        tip = np.asarray(joint) + 10.5 * np.array([np.cos(turn), np.sin(turn)])
        _arrow(axes, (flip * tip[0], tip[1] + 17), (flip * tip[0], tip[1] + 6.5), QUIET)
        _arrow(axes, (flip * tip[0], tip[1] - 13), (flip * tip[0], tip[1] - 3), INK)
        _name(axes, facts.labels.helper, (flip * tip[0], tip[1] + 18))
        return
    (x, y), *_ = put([_middle(facts, turns) if facts.held else (9.0, 0.0)])
    below = y - (_radius(facts) + turns["grip"]["thick"] if facts.held else 2.6)
    _silhouette(axes, [_moved(turns["cup"], float(x), float(below) + 0.6)], OTHER, 2.0)
    _arrow(axes, (x + flip * 8.2, below - 8), (x + flip * 8.2, below + 5), QUIET)
    _name(axes, facts.labels.helper, (float(x), float(below) - (17.5 if facts.held == "hung" else 12.5)))


def _name(axes: Axes, words: str, at: tuple[float, float]) -> None:
    axes.text(*at, words, ha="center", va="center", fontsize=10, color=QUIET, zorder=8)


def _sweep(axes: Axes, facts: MovementFacts, joint: tuple[float, float], flip: int) -> None:
    """The way from the start to the end."""
    ends = [np.radians(each) for each in (facts.start, facts.end)]
    first, last = (
        (flip * (joint[0] + 21.5 * float(np.cos(each))), joint[1] + 21.5 * float(np.sin(each))) for each in ends
    )
    bend = 0.32 * (1 if facts.end > facts.start else -1) * flip
    _arrow(axes, first, last, INK, bend=bend)


def _arrows(axes: Axes, facts: MovementFacts, joint: tuple[float, float], flip: int) -> None:
    x = flip * (joint[0] + 21.5)
    _arrow(axes, (x, joint[1] + 1), (x, joint[1] + 11), INK)
    _arrow(axes, (x, joint[1] - 1), (x, joint[1] - 11), INK)


def _arrow(
    axes: Axes, start: tuple[float, float], end: tuple[float, float], colour: str, *, bend: float = 0.0
) -> None:
    axes.add_artist(
        FancyArrowPatch(start, end, connectionstyle=f"arc3,rad={bend}", arrowstyle="-|>", mutation_scale=17, lw=2.6,
                        color=colour, zorder=8)
    )  # fmt: skip


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
    rests, turns = _shapes()[facts.rests], _shapes()[facts.turns]
    _silhouette(axes, [_curve(turns["above_thumb"]) * (flip, 1) + (aside, 0)], SKIN, 2.0)
    whole = [_curve(rests["above"], smooth=False), _curve(turns["above"])]
    _silhouette(axes, [each * (flip, 1) + (aside, 0) for each in whole], SKIN, 3.0)
    axes.add_artist(Rectangle((-18, -14), 36, 6.4, facecolor=PAPER, edgecolor="none", zorder=4))
    if facts.faces == "down":
        for x, y, radius in turns["nails"]:
            axes.add_artist(Circle((flip * x + aside, y), radius, facecolor="white", edgecolor=INK, lw=1.3, zorder=5))
    else:
        for crease in turns["creases"]:
            line = _curve(crease, closed=False) * (flip, 1) + (aside, 0)
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


def _silhouette(axes: Axes, shapes: Sequence[Points], colour: str, zorder: float) -> None:
    """Shapes that are one: the line runs around all of them."""
    for points in shapes:
        axes.add_artist(
            Polygon(points, closed=True, facecolor=colour, edgecolor=INK, lw=2 * LINE, joinstyle="round", zorder=zorder)
        )
    for points in shapes:
        axes.add_artist(Polygon(points, closed=True, facecolor=colour, edgecolor="none", lw=0, zorder=zorder + 0.05))


def _moved(points: Sequence[Sequence[float]], x: float, y: float) -> Points:
    moved: Points = np.add(_curve(points), (x, y))
    return moved


def _turned(points: Points, degrees: float, about: tuple[float, float]) -> Points:
    turn = np.radians(degrees)
    matrix = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    moved: Points = (points - about) @ matrix + about
    return moved


def _at(points: Iterable[Any], degrees: float, joint: tuple[float, float], flip: int) -> Points:
    """Turned about its joint, put there, and mirrored for the left."""
    put: Points = (_turned(np.asarray(points, float), degrees, (0.0, 0.0)) + joint) * (flip, 1)
    return put


def _curve(points: Sequence[Sequence[float]], *, closed: bool = True, smooth: bool = True) -> Points:
    """A smooth line through the points: a spline of Catmull and Rom, eight steps between two of them."""
    through: Points = np.asarray(points, float)
    if not smooth:
        return through
    count = len(through)
    pieces: list[Points] = []
    for n in range(count if closed else count - 1):
        near = [n + k if not closed else (n + k) % count for k in (-1, 0, 1, 2)]
        before, a, b, after = (through[min(max(place, 0), count - 1)] for place in near)
        t = np.linspace(0, 1, 8, endpoint=False)[:, None]
        pieces.append(
            0.5 * (2 * a + (b - before) * t + (2 * before - 5 * a + 4 * b - after) * t**2
                   + (3 * a - before - 3 * b + after) * t**3)
        )  # fmt: skip
    whole: Points = np.vstack([*pieces, through[-1:]] if not closed else pieces)
    return whole
