"""The words and courses that go into the digest's pictures, one panel for each patient who needs attention."""

from collections.abc import Mapping

from bot.drawn.digest import Line, LineWords, Panel, PanelsFacts
from bot.drawn.progress import Band, Day
from bot.wording.attention import named, why_of_both
from bot.wording.catalogue import Text
from bot.wording.digest import numbered
from bot.wording.filling import LONGEST
from core.digest import PANELS, Digest, pictures
from core.digest.patient_week import CourseLine, PatientWeek

WEEKS = 12  # a panel's stretch: each evening is still a dot of its own on a phone


def panels_facts(text: Text, digest: Digest, courses: Mapping[str, CourseLine], part: int = 0) -> PanelsFacts:
    """One of `core.digest.pictures(digest)` pictures; the panels carry the numbers of the message.

    `courses` has the last WEEKS weeks of each patient in `in_picture(digest, part)`, by `who.key`.
    """
    panels = [
        Panel(
            number=text("therapist.picture.number", n=number),
            name=named(text, week, LONGEST),
            why="; ".join(why_of_both(text, week)),
            mean="" if week.this.mean is None else text.tenths(week.this.mean),
            line=line_facts(courses[week.who.key]),
        )
        for number, week in in_picture(digest, part)
    ]
    return PanelsFacts(
        title=_title(text, digest, part + 1, pictures(digest)),
        note=text("therapist.picture.note", weeks=WEEKS),
        panels=tuple(panels),
        words=line_words(text),
    )


def in_picture(digest: Digest, part: int) -> tuple[tuple[int, PatientWeek], ...]:
    """Who is in the picture `part`, from 0, with the number each carries."""
    return numbered(digest)[part * PANELS : (part + 1) * PANELS]


def _title(text: Text, digest: Digest, number: int, parts: int) -> str:
    key = "therapist.picture.title" if parts == 1 else "therapist.picture.title.of"
    return text(key, first=text.day(digest.monday), last=text.day(digest.sunday), n=number, all=parts)


def line_facts(course: CourseLine) -> Line:
    """A course as the drawing takes it."""
    return Line(
        first=course.first.isoformat(),
        last=course.last.isoformat(),
        days=tuple(Day(each.date.isoformat(), each.pain, each.asked) for each in course.evenings),
        bands=tuple(Band(first.isoformat(), last.isoformat(), step) for first, last, step in course.steps),
        flares=tuple(date.isoformat() for date in course.flares),
        means=tuple((date.isoformat(), mean) for date, mean in course.means),
    )


def line_words(text: Text) -> LineWords:
    """Every word in a drawn course."""
    return LineWords(
        evening=text("therapist.picture.evening"),
        weekly_mean=text("therapist.picture.weekly_mean"),
        missed=text("picture.missed"),
        flare=text("picture.flare"),
        nothing=text("picture.nothing"),
        step_key=text("therapist.picture.steps"),
        day_month=text("picture.day_month"),
        months=tuple(text.month(number) for number in range(1, 13)),
    )
