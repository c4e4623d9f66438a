"""A week's decisions for the file: what was answered, what was decided and why, and where the numbers are from."""

from collections.abc import Iterable

from bot.drawn.digest import Table
from bot.wording.catalogue import Text
from bot.wording.filling import shown
from bot.wording.reasons import amounts_words, figure_words, gate_words, noted
from core.digest.patient_week import PatientWeek, Told
from core.facts import ReasonFacts
from core.model import Evening, Figure, Flag, NoticeKind, Provenance
from core.rule.course import OWN_GATE
from core.scores.change import SOURCES
from core.scores.prtee import COUNTS

NOTE_LONGEST = 300  # characters of a therapist's reason; the whole of it stands in the chat and the export


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


def _row(text: Text, told: Told, evening: Evening | None) -> tuple[str, ...]:
    none = text("therapist.file.none")
    rated = evening is not None and evening.pain is not None
    answered = evening is not None and evening.sets_done is not None and evening.sets_asked
    return (
        text.day(told.date),
        str(evening.pain) if evening and rated else none,
        text("therapist.file.of", done=evening.sets_done, asked=evening.sets_asked) if evening and answered else none,
        text(f"therapist.file.move.{told.move.value}", step=told.step),
        _because(text, told),
    )


def _because(text: Text, told: Told) -> str:
    reasons = list(told.reasons)
    said = []
    if told.act is not None:
        until = text.day(told.act.until) if told.act.until else ""
        gate, step = gate_words(text, told.act.gate), told.act.step or told.step
        amounts = amounts_words(text, told.act.amounts)
        key = f"therapist.because.act.{told.act.act.value}"
        said.append(text(key, step=step, until=until, gate=gate, amounts=amounts))
        reasons = reasons[1:]
    said += [noted(text, ReasonFacts(each.code, dict(each.numbers))) for each in reasons]
    line = "; ".join(said)
    if not told.note:
        return line
    note = shown(told.note, text("therapist.file.none"), NOTE_LONGEST)
    who = shown(told.by, text("therapist.no_name"))
    return text("therapist.file.noted", reasons=line, who=who, note=note)


def notice_lines(text: Text, week: PatientWeek) -> tuple[str, ...]:
    """What the therapist was told of this week, and what still waits for them; each matter once."""
    told = [(kind, each.flag, text.day(each.date)) for each in week.told for kind in each.notices]
    kinds = {kind for kind, _, _ in told}
    still = [(kind, week.stopped_for, "") for kind in week.who.notices if kind not in kinds]
    return tuple(dict.fromkeys(_notice(text, *each) for each in (*told, *still)))


def _notice(text: Text, kind: NoticeKind, flag: Flag | None, day: str) -> str:
    key = f"notice.{kind.value}"
    if kind is NoticeKind.DANGER:
        key = f"{key}.{(flag or Flag.RED_FLAG).value}"
    what = text(key)
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
