"""Outlines of parts of the body: read from shapes.toml, made smooth, turned about a joint, drawn as one."""

import tomllib
from collections.abc import Iterable, Sequence
from functools import cache
from importlib.resources import files
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Polygon

from bot.drawing.canvas import INK

LINE = 2.0
Points = np.ndarray[Any, np.dtype[np.float64]]


@cache
def shapes() -> dict[str, Any]:
    """The parts by their names, as the file has them."""
    return tomllib.loads((files("bot.drawing") / "shapes.toml").read_text(encoding="utf-8"))


def silhouette(axes: Axes, shapes: Sequence[Points], colour: str, zorder: float) -> None:
    """Shapes that are one: the line runs around all of them."""
    for points in shapes:
        axes.add_artist(
            Polygon(points, closed=True, facecolor=colour, edgecolor=INK, lw=2 * LINE, joinstyle="round", zorder=zorder)
        )
    for points in shapes:
        axes.add_artist(Polygon(points, closed=True, facecolor=colour, edgecolor="none", lw=0, zorder=zorder + 0.05))


def turned(points: Points, degrees: float, about: tuple[float, float]) -> Points:
    turn = np.radians(degrees)
    matrix = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    moved: Points = (points - about) @ matrix + about
    return moved


def placed(points: Iterable[Any], degrees: float, joint: tuple[float, float], flip: int) -> Points:
    """Turned about its joint, put there, and mirrored for the left."""
    put: Points = (turned(np.asarray(points, float), degrees, (0.0, 0.0)) + joint) * (flip, 1)
    return put


def curve(points: Sequence[Sequence[float]], *, closed: bool = True, smooth: bool = True) -> Points:
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
