"""Names and words as they were given, made fit to be shown: nothing invisible, endless, or that turns the line."""

import unicodedata

LONGEST = 40
JOINERS = "\u200c\u200d"  # belong to the spelling of some languages, and to emoji
RIGHT_TO_LEFT = ("R", "AL", "AN")


def shown(name: str, nobody: str, longest: int = LONGEST) -> str:
    """The name on one line, at most `longest` characters with a sign of what was cut; `nobody` where it is blank."""
    cleaned = "".join(
        character if character in JOINERS or unicodedata.category(character)[0] != "C" else " " for character in name
    )
    line = " ".join(cleaned.split()).strip(JOINERS)
    if not line:
        return nobody
    return line if len(line) <= longest else f"{line[: longest - 1].rstrip(' ' + JOINERS)}…"


def isolated(name: str) -> str:
    """The name so that one written from right to left does not turn the line around it."""
    if any(unicodedata.bidirectional(character) in RIGHT_TO_LEFT for character in name):
        return f"\u2068{name}\u2069"
    return name


def lines_of(words: str, most: int) -> str:
    """The words with their line ends kept and every other control character gone, cut at `most` characters."""
    lines = [shown(line, "", most) for line in words.splitlines()]
    whole = "\n".join(lines).strip()
    return whole if len(whole) <= most else f"{whole[: most - 1].rstrip()}…"
