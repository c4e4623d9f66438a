"""Where in a TOML text a path stands, so that an error about a value can name its line."""

import re

Path = tuple[str | int, ...]

_HEADER = re.compile(r"^\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(#.*)?$")
_KEY = re.compile(
    r"""^\s*((?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*'))*)\s*="""
)
_PART = re.compile(r"""[A-Za-z0-9_-]+|"[^"]*"|'[^']*'""")


def written(path: Path) -> str:
    """The path as people write it, counting from 1: `step[3].exercise[1].sets`."""
    text = ""
    for part in path:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if text else part
    return text or "the file"


def line_of(text: str, path: Path) -> int | None:
    """The line, from 1, of the path or of the nearest table around it; None when nothing of it is written.

    Reads headers and keys only, not values: within a value of several lines it may name the value's first
    line.
    """
    index = _lines(text)
    for end in range(len(path), 0, -1):
        if path[:end] in index:
            return index[path[:end]]
    return None


def _lines(text: str) -> dict[Path, int]:
    index: dict[Path, int] = {}
    counts: dict[Path, int] = {}
    table: Path = ()
    for number, line in enumerate(text.splitlines(), start=1):
        if header := _HEADER.match(line):
            table = _resolve(_parts(header[2]), counts, new_item=header[1] == "[[")
            index.setdefault(table, number)
        elif key := _KEY.match(line):
            path = (*table, *_parts(key[1]))
            for end in range(len(table) + 1, len(path) + 1):
                index.setdefault(path[:end], number)
    return index


def _parts(dotted: str) -> tuple[str, ...]:
    return tuple(part.strip("\"'") for part in _PART.findall(dotted))


def _resolve(names: tuple[str, ...], counts: dict[Path, int], *, new_item: bool) -> Path:
    """Puts the index of the latest item after each name of an array of tables."""
    path: Path = ()
    for place, name in enumerate(names):
        path = (*path, name)
        if new_item and place == len(names) - 1:
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = (*path, counts[path])
    return path
