"""Invented digests in words: a usual one, one with every awkward name, a long one, nobody at all."""

import datetime as dt
from collections.abc import Sequence
from functools import cache

from bot.drawn.course import FileFacts, PanelsFacts
from bot.wording.catalogue import text_in
from bot.wording.digest import numbered
from bot.wording.digest_file import PANEL_WEEKS, Head, file_facts, panels_facts
from core.digest import Digest, digest, pictures
from core.digest.patient_week import Standing
from core.model import NoticeKind
from tests.caseload import HARD_NAMES, MONDAY, Lived, a_standing, fennel_lane, lived, weeks_of

TEXT = text_in("en")
HEAD = Head("Fennel Lane", "Ines Moreau", dt.datetime(2026, 6, 29, 7, 30, tzinfo=dt.UTC))
Caseload = Sequence[tuple[Standing, Lived]]


@cache
def usual() -> Caseload:
    return fennel_lane()


@cache
def awkward() -> Caseload:
    """Every hard name, each with so many reasons that words run out of room; one never answered, one just began."""
    notices = (NoticeKind.SEVERE_TWICE, NoticeKind.PLATEAU_6_WEEKS)
    return [
        (a_standing(n, name=name, notices=notices), lived(3 + 30 * n, 40 + n, bad_days=n % 3 * 2, silent=99 * (n == 1)))
        for n, name in enumerate(HARD_NAMES)
    ]


@cache
def crowd(count: int) -> Caseload:
    """So many people who share the usual ones' courses, each with a name of their own."""
    courses = usual()
    return [
        (a_standing(n, id=f"id-{n:04}", name=f"patient {n:04}", notices=courses[n % 20][0].notices), courses[n % 20][1])
        for n in range(count)
    ]


_MADE: dict[int, tuple[Caseload, Digest]] = {}  # beside the caseload, so that its id stays its own


def digest_of(people: Caseload) -> Digest:
    """Made once of each caseload."""
    if id(people) not in _MADE:
        _MADE[id(people)] = (people, digest(weeks_of(people), MONDAY))
    return _MADE[id(people)][1]


def pictures_of(people: Caseload) -> tuple[PanelsFacts, ...]:
    found, courses = digest_of(people), {who.id: course for who, course in people}
    lines = {week.who.id: courses[week.who.id].line(PANEL_WEEKS) for _, week in numbered(found)}
    return tuple(panels_facts(TEXT, found, lines, part) for part in range(pictures(found)))


def file_of(people: Caseload, part: int = 0) -> FileFacts:
    return file_facts(TEXT, digest_of(people), {who.id: course.line() for who, course in people}, HEAD, part)
