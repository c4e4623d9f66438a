"""One patient's page of the digest's file, with the week's decisions; figures keep one decimal to line up."""

import datetime as dt
from collections.abc import Iterable

from bot.drawn.course import Page, Table
from bot.wording.attention import named, percent, scores_words, side_of_week, signed, trend_words, why
from bot.wording.catalogue import Text
from bot.wording.dose import kilos, rung, step_name
from bot.wording.filling import shown
from bot.wording.progress import goals_for_staff, line_facts
from bot.wording.reasons import act_words, figure_words, for_staff, matter
from core.digest.patient_week import CourseLine, Made, PatientWeek, WeekRow
from core.facts import GoalFacts, ReasonFacts
from core.model import Evening, Figure, Flag, NoticeKind, Provenance
from core.rule.course import OWN_GATE
from core.scores import SOURCES, Band
from core.scores.prtee import COUNTS
from core.weeks import HIGH_PAIN, Adherence

HEADING = 70  # characters of a name at the head of its page
NOTE_LONGEST = 300  # characters of a therapist's reason; the whole of it stands in the chat and the export
WORDS = 300  # of what was said or written at a time


def page(text: Text, week: PatientWeek, course: CourseLine, number: str = "") -> Page:
    """Everything on one patient's page; `course` is the whole course up to the week's Sunday."""
    return Page(
        number=number,
        name=named(text, week, HEADING),
        about=text("therapist.file.about", side=side_of_week(text, week), week=week.week_number),
        step=_step(text, week),
        why="; ".join(why(text, week)),
        line=line_facts(course),
        weeks=_weeks(text, week),
        facts=(
            (text("therapist.file.change"), change_words(text, week)),
            (text("therapist.file.trend"), trend_words(text, week.trend)),
            (text("therapist.file.adherence"), _adherence(text, week)),
            (text("therapist.file.answered"), _evenings(text, week)),
            *_scores(text, week),
            *_goals(text, week),
            *_dated(text, "own_words", week.who.own_words),
            *_dated(text, "notes", week.who.notes),
            *_dated(text, "unread", week.who.unread),
        ),
        decisions=decisions_table(text, week),
        notices=(text("therapist.file.notices"), notice_lines(text, week)),
        numbers=(text("therapist.file.numbers"), numbers_lines(text, week)),
    )


def _step(text: Text, week: PatientWeek) -> str:
    line = rung(text, week.step, week.steps, step_name(text, week.words, week.step_key))
    return text("therapist.file.load", step=line, kg=kilos(text, week.load_g)) if week.load_g else line


def _weeks(text: Text, week: PatientWeek) -> Table:
    names = ("week", "step", "load", "mean", "worst", "high", "rated", "sets")
    return Table(
        title=text("therapist.file.weeks"),
        head=tuple(text(f"therapist.file.col.{name}", high=text.number(HIGH_PAIN.value)) for name in names),
        rows=tuple(_week_row(text, row) for row in reversed(week.weeks)),
    )


def _week_row(text: Text, row: WeekRow) -> tuple[str, ...]:
    week = row.week
    return (
        text.day(week.first),
        str(row.step),
        text("therapist.file.kg", kg=kilos(text, row.load_g)) if row.load_g else text("therapist.file.none"),
        mean_words(text, row),
        _worst(text, row),
        str(week.high_days),
        text("therapist.file.of", done=week.rated, asked=week.asked),
        _sets(text, week.sets),
    )


def _sets(text: Text, sets: Adherence) -> str:
    """Of the evenings that told of them; marked where others did not."""
    key = "therapist.file.of.untold" if sets.untold else "therapist.file.of"
    return text(key, done=sets.done, asked=sets.asked)


def mean_words(text: Text, row: WeekRow) -> str:
    """A week's mean in figures, or a dash where there is none."""
    return text("therapist.file.none") if row.mean is None else text.tenths(row.mean)


def _worst(text: Text, row: WeekRow) -> str:
    if row.week.worst is None or row.week.worst_on is None:
        return text("therapist.file.none")
    return text("therapist.file.worst", pain=row.week.worst, day=text.day(row.week.worst_on))


def change_words(text: Text, week: PatientWeek) -> str:
    """From the first week's mean to this one's, with the published word for it."""
    change, mean = week.change, week.this.mean
    if change is None or mean is None:
        return text("therapist.file.change.none")
    key = "therapist.file.change.low" if change.share is None else "therapist.file.change.is"
    return text(
        key, first=text.tenths(change.first), mean=text.tenths(mean), points=signed(text, change.points),
        share=signed(text, round(100 * (change.share or 0)), 0), band=band_words(text, change.band),
    )  # fmt: skip


def band_words(text: Text, band: Band) -> str:
    return text(f"therapist.file.band.{band.value}")


def _adherence(text: Text, week: PatientWeek) -> str:
    sets = week.fortnight
    if sets.share is None:
        none = "therapist.file.adherence.unknown" if sets.untold else "therapist.file.adherence.none"
        return f"{text(none)}{untold(text, sets.untold)}"
    known = text(
        "therapist.file.adherence.is", done=sets.done, asked=sets.asked, share=percent(text, sets.done, sets.asked)
    )
    return f"{known}{untold(text, sets.untold)}"


def untold(text: Text, evenings: int) -> str:
    """Evenings with no answer, as such."""
    return text.many("therapist.untold", evenings) if evenings else ""


def _evenings(text: Text, week: PatientWeek) -> str:
    this = week.this.week
    key = "therapist.file.answered.is" if this.rated else "therapist.file.answered.none"
    return text(
        key, rated=this.rated, asked=this.asked, worst=_worst(text, week.this), high=this.high_days,
        limit=text.number(HIGH_PAIN.value),
    )  # fmt: skip


def _goals(text: Text, week: PatientWeek) -> tuple[tuple[str, str], ...]:
    lines = goals_for_staff(text, GoalFacts(week.who.goals))
    return ((text("therapist.file.goals"), "; ".join(lines[1:])),) if lines else ()


def _dated(text: Text, what: str, words: Iterable[tuple[dt.date, str]]) -> tuple[tuple[str, str], ...]:
    """What was said or written on which day, as it was, where there is anything."""
    said = [text("therapist.file.notice", day=text.day(on), what=shown(each, "", WORDS)) for on, each in words]
    return ((text(f"therapist.file.{what}"), "; ".join(said)),) if said else ()


def _scores(text: Text, week: PatientWeek) -> tuple[tuple[str, str], ...]:
    """Each outcome score, and what has changed since the first."""
    said = scores_words(text, [(each.week, each.total) for each in week.who.scores])
    return ((text("therapist.file.prtee"), "; ".join(said)),) if said else ()


def decisions_table(text: Text, week: PatientWeek) -> Table:
    """One row a decision; an evening's rating and sets stand in the row of its first."""
    evenings = {each.date: each for each in week.evenings}
    rows = [_row(text, each, evenings.pop(each.date, None)) for each in week.told]
    names = ("day", "rating", "evening_sets", "move", "because")
    return Table(
        title=text("therapist.file.decisions" if rows else "therapist.file.decisions.none"),
        head=tuple(text(f"therapist.file.col.{name}") for name in names),
        rows=tuple(rows),
    )


def _row(text: Text, told: Made, evening: Evening | None) -> tuple[str, ...]:
    none = text("therapist.file.none")
    rated = evening is not None and evening.pain is not None
    answered = evening is not None and evening.sets_done is not None and evening.sets_asked
    return (
        text.day(told.date),
        str(evening.pain) if evening and rated else none,
        text("therapist.file.of", done=evening.sets_done, asked=evening.sets_asked) if evening and answered else none,
        text(f"therapist.file.move.{told.decision.move.value}", step=told.decision.step),
        _because(text, told),
    )


def _because(text: Text, told: Made) -> str:
    reasons, said = list(told.decision.reasons), []
    if told.act is not None:
        said.append(act_words(text, told.act))
        reasons = reasons[1:]
    said += [for_staff(text, ReasonFacts(each.code, dict(each.numbers))) for each in reasons]
    line = "; ".join(said)
    if not told.note:
        return line
    note = shown(told.note, text("therapist.file.none"), NOTE_LONGEST)
    who = shown(told.by, text("therapist.no_name"))
    return text("therapist.file.noted", reasons=line, who=who, note=note)


def notice_lines(text: Text, week: PatientWeek) -> tuple[str, ...]:
    """What the therapist was told of this week, and what still waits for them; each matter once."""
    told = [(kind, each.decision.flag, text.day(each.date)) for each in week.told for kind in each.decision.notices]
    kinds = {kind for kind, _, _ in told}
    still = [(kind, week.stopped_for, "") for kind in week.who.notices if kind not in kinds]
    return tuple(dict.fromkeys(_notice(text, *each) for each in (*told, *still)))


def _notice(text: Text, kind: NoticeKind, flag: Flag | None, day: str) -> str:
    what = matter(text, kind.value, flag or Flag.RED_FLAG if kind is NoticeKind.DANGER else "")
    return text("therapist.file.notice", day=day, what=what) if day else what


def numbers_lines(text: Text, week: PatientWeek) -> tuple[str, ...]:
    """Every number that the page's words were measured against, by where they are from; published ones first."""
    found: dict[tuple[str, ...], list[str]] = {}
    for each in week.numbers:
        words = figure_words(text, each.figure.name, each.figure.value)
        found.setdefault(_origin(text, each.figure, each.citations), []).append(words)
    own = list(week.change.figures if week.change else ())
    if len(week.who.scores) > 1:
        own.append(COUNTS)
    for figure in own:
        if text.has(f"therapist.file.figure.{figure.name}"):
            cited = tuple(SOURCES[row].citation for row in figure.rows)
            found.setdefault(_origin(text, figure, cited), []).append(_own(text, figure))
    ordered = sorted(found.items(), key=lambda item: item[0][0])
    return tuple(
        text("therapist.file.number", origin=origin, what="; ".join(dict.fromkeys(what)))
        for (_, origin), what in ordered
    )


def _own(text: Text, figure: Figure) -> str:
    """A number that no programme file carries."""
    key = f"therapist.file.figure.{figure.name}"
    return text(key, value=text.number(figure.value), share=text.number(100 * figure.value, 0))


def _origin(text: Text, figure: Figure, cited: Iterable[str]) -> tuple[str, ...]:
    """The rank of a provenance and its words."""
    provenance = figure.provenance
    if figure.name == OWN_GATE:
        return str(len(Provenance)), text("therapist.file.from.therapist")
    words = text(f"therapist.file.from.{provenance.value.replace(' ', '_')}", cited="; ".join(cited))
    return str(list(Provenance).index(provenance)), words
