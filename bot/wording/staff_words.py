"""Free words over several lines, fit to be shown: nothing invisible, nothing that turns what stands around them."""

from bot.wording.names import shown


def lines_of(words: str, most: int) -> str:
    """The words with their line ends kept and every other control character gone, cut at `most` characters."""
    lines = [shown(line, "", most) for line in words.splitlines()]
    whole = "\n".join(lines).strip()
    return whole if len(whole) <= most else f"{whole[: most - 1].rstrip()}…"
