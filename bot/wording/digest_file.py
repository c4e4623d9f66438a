"""The words of the digest's file and pictures: the therapist's overview, what stands on every page, the panels."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from bot.drawn.course import FileFacts, Overview, Panel, PanelsFacts, Table
from bot.wording.attention import named, percent, signed, trend_short, why, why_of_both
from bot.wording.catalogue import Text
from bot.wording.digest import numbered, unreadable
from bot.wording.digest_page import mean_words, page
from bot.wording.filling import LONGEST, shown
from bot.wording.progress import line_facts, line_words
from core.digest import PAGES, PANELS, Digest, files, pictures
from core.digest.patient_week import CourseLine, PatientWeek
from core.digest.weekly_trend import WEEKS
from core.weeks import Adherence

ALWAYS = ("moved_up", "stepped_back", "silent", "stopped")
PANEL_WEEKS = 12  # a panel's stretch: each evening is still a dot of its own on a phone
WHERE_ANY = ("halted", "unreachable", "away", "left", "completed")


@dataclass(frozen=True, slots=True)
class Head:
    """What stands on every page beside the patient, and when the file was made (aware)."""

    clinic: str
    therapist: str
    made: dt.datetime


def file_facts(text: Text, digest: Digest, courses: Mapping[str, CourseLine], head: Head, part: int = 0) -> FileFacts:
    """One of `core.digest.files(digest)` files; the first begins with the overview of everybody.

    `courses` has the whole course of each patient in `core.digest.in_file(digest, part)`, by `who.key`.
    """
    clinic = shown(head.clinic, "")
    week = text(
        "therapist.file.week", first=text.day(digest.monday), last=text.day(digest.sunday), year=digest.sunday.year
    )
    return FileFacts(
        title=text("therapist.file.title", week=week),
        clinic=clinic,
        week=week,
        foot=text("therapist.file.foot"),
        page=text("therapist.file.page", page="{page}", pages="{pages}"),
        further=text("therapist.file.further", name="{name}"),
        language=text.language,
        made=head.made.isoformat(),
        overview=_overview(text, digest, head) if part == 0 else None,
        pages=tuple(
            page(text, each, courses[each.who.key], text("therapist.file.place", n=number, all=len(digest.patients)))
            for number, patient in enumerate(digest.patients[part * PAGES : (part + 1) * PAGES], part * PAGES + 1)
            for each in (patient, *patient.others)
        ),
        words=line_words(text),
    )


def file_name(text: Text, digest: Digest, part: int = 0) -> str:
    """What the file is called where it arrives; no name of a person is in it."""
    monday, parts = digest.monday.isoformat(), files(digest)
    if parts == 1:
        return text("therapist.file.name", monday=monday)
    return text("therapist.file.name.part", monday=monday, part=part + 1, parts=parts)


def _overview(text: Text, digest: Digest, head: Head) -> Overview:
    therapist = shown(head.therapist, text("therapist.no_name"))
    lines = [text("therapist.file.order" if digest.patients else "therapist.digest.nobody")]
    if digest.patients:
        lines.append(text("therapist.file.trend.how", weeks=WEEKS))
    lines += unreadable(text, digest)
    if (parts := files(digest)) > 1:
        lines.append(text("therapist.file.parts", parts=parts, pages=PAGES, all=len(digest.patients)))
    return Overview(
        title=text("therapist.file.overview", therapist=therapist),
        lines=tuple(lines),
        counts=_counts(text, digest),
        caseload=_caseload(text, digest),
    )


def _counts(text: Text, digest: Digest) -> tuple[tuple[str, str], ...]:
    counts = digest.counts
    share = text("therapist.file.none")
    if counts.asked:
        share = text("therapist.file.share", share=percent(text, counts.rated, counts.asked))
    names = [*ALWAYS, *(name for name in WHERE_ANY if getattr(counts, name))]
    return (
        (str(counts.patients), text("therapist.file.count.patients")),
        (share, text("therapist.file.count.answered")),
        *((str(getattr(counts, name)), text(f"therapist.file.count.{name}")) for name in names),
    )


def _caseload(text: Text, digest: Digest) -> Table:
    names = ("number", "name", "why", "step", "mean", "change", "trend", "rated", "adherence")
    return Table(
        title="",
        head=tuple(text(f"therapist.file.col.{name}") for name in names),
        rows=tuple(
            _row(text, number, each)
            for number, patient in enumerate(digest.patients, 1)
            for each in (patient, *patient.others)
        ),
    )


def _row(text: Text, number: int, week: PatientWeek) -> tuple[str, ...]:
    none, sets = text("therapist.file.none"), week.fortnight
    return (
        str(number),
        named(text, week, LONGEST),
        "; ".join(why(text, week)) or none,
        str(week.step),
        mean_words(text, week.this),
        _change(text, week),
        trend_short(text, week.trend),
        text("therapist.file.of", done=week.this.week.rated, asked=week.this.week.asked),
        _share(text, sets) if sets.asked else none,
    )


def _share(text: Text, sets: Adherence) -> str:
    key = "therapist.file.share.untold" if sets.untold else "therapist.file.share"
    return text(key, share=percent(text, sets.done, sets.asked))


def _change(text: Text, week: PatientWeek) -> str:
    change = week.change
    if change is None:
        return text("therapist.file.none")
    points = signed(text, change.points)
    if change.share is None:
        return points
    return text("therapist.file.points_share", points=points, share=signed(text, round(100 * change.share), 0))


def panels_facts(text: Text, digest: Digest, courses: Mapping[str, CourseLine], part: int = 0) -> PanelsFacts:
    """One of `core.digest.pictures(digest)` pictures; the panels carry the numbers of the message.

    `courses` has the last PANEL_WEEKS weeks of each patient in `in_picture(digest, part)`, by `who.key`.
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
        title=_picture_title(text, digest, part + 1, pictures(digest)),
        note=text("therapist.picture.note", weeks=PANEL_WEEKS),
        panels=tuple(panels),
        words=line_words(text),
    )


def in_picture(digest: Digest, part: int) -> tuple[tuple[int, PatientWeek], ...]:
    """Who is in the picture `part`, from 0, with the number each carries."""
    return numbered(digest)[part * PANELS : (part + 1) * PANELS]


def _picture_title(text: Text, digest: Digest, number: int, parts: int) -> str:
    key = "therapist.picture.title" if parts == 1 else "therapist.picture.title.of"
    return text(key, first=text.day(digest.monday), last=text.day(digest.sunday), n=number, all=parts)
