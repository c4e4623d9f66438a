"""Cutting a long text where it hurts least, so that nothing is lost to a service's limit."""


def units(text: str) -> int:
    """Length in UTF-16 code units: the larger of the two countings a service may use, so never too small."""
    return len(text) + sum(character > "\uffff" for character in text)


def in_pieces(text: str, longest: int) -> list[str]:
    """Cut into pieces of at most `longest` units: at an empty line, else a line end, else a space, else hard.

    No piece is blank (a service refuses those), and only white space at a cut is dropped.
    """
    pieces: list[str] = []
    rest = text.strip()
    while units(rest) > longest:
        cut = _cut(rest, longest)
        pieces.append(rest[:cut].rstrip())
        rest = rest[cut:].lstrip()
    return [*pieces, rest] if rest else pieces


def _cut(text: str, longest: int) -> int:
    reach = longest
    while units(text[:reach]) > longest:
        reach -= max(1, (units(text[:reach]) - longest) // 2)
    for mark in ("\n\n", "\n", " "):
        # A cut in the first half would leave many tiny messages; the next finer mark is better then.
        place = text.rfind(mark, reach // 2, reach + len(mark))
        if 0 < place <= reach:
            return place
    return reach
