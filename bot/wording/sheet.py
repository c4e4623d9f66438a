"""The words of papers about the routine: for a newcomer in the room, of one's own step, of the whole programme."""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import asdict

from bot.drawn.routine import Diary, MovementFacts, Part, SheetFacts
from bot.wording.catalogue import Text
from bot.wording.dose import dose_line, how_lines, step_line
from bot.wording.filling import Pack, Word, shown
from bot.wording.guided import movement
from core.facts import DoseFacts, StepFacts, Words
from core.programme import Gate
from core.records import Worded

WEEKS = 4
EVERY_OTHER = (True, False)
CALLS = ("stop", "condition", "call")  # told once, after the sets


def invitation_sheet(
    text: Text, steps: Sequence[DoseFacts], words: Words, code: str, link: str, until: dt.date, side: str, clinic: str,
    emergency: str, made: dt.datetime,
) -> Worded:  # fmt: skip
    """A file to print: `steps` are the doses that people begin with, `emergency` the clinic's own sentence."""
    pack, first = Pack(text, words), steps[0]
    moves = (*_moves(text, first), text("sheet.drawn", limb=Pack(text, first.words)(f"limb.{side}")))
    parts = [Part(step_line(text, first), moves, _pictures(text, first, side))]
    parts += [Part(step_line(text, dose), _beside(text, dose, first)) for dose in steps[1:]]
    parts.append(_cautions(text, emergency, first))
    parts.append(Part(text("sheet.why"), tuple(pack(f"why.{key}") for key in ("what", "load", "patience"))))
    way = text("sheet.way.link" if link else "sheet.way.code", code=code)
    way_in = (way, text("sheet.until", until=text.day(until)), text("sheet.what"))
    diary = Diary(
        text("sheet.diary"), text("sheet.diary.how"),
        tuple(text(f"sheet.diary.{key}") for key in ("day", "pain", "sets", "notes")),
        tuple(text.weekday(day) for day in range(7)), text("sheet.diary.week", week="{week}"), WEEKS,
    )  # fmt: skip
    return Worded(text("invitation.sheet"), to_draw=_sheet(text, clinic, made, parts, way_in, scan=link, diary=diary))


def own_sheet(kind: str) -> Word:
    """The step that somebody is on: without a name, since it hangs on a wall."""

    def word(
        text: Text, dose: DoseFacts, step: StepFacts, side: str, day: dt.date, made: dt.datetime, clinic: str,
        emergency: str,
    ) -> Worded:  # fmt: skip
        limb = Pack(text, dose.words)(f"limb.{side}")
        parts = [
            Part(step_line(text, dose), (*_moves(text, dose), *_rhythm(text, step)), _pictures(text, dose, side)),
            Part(text("sheet.next.last" if step.last else "sheet.next"), tuple(_onward(text, step))),
            _cautions(text, emergency, dose),
        ]
        lines = (text("sheet.own", day=text.date(day), limb=limb), text("sheet.own.changes"))
        return Worded(text(kind), to_draw=_sheet(text, clinic, made, parts, lines))

    return word


def programme_sheet(
    text: Text, steps: Sequence[StepFacts], side: str, made: dt.datetime, clinic: str, emergency: str
) -> Worded:
    """Every step for the therapist: how an exercise is done and looks where it first comes, then how much of it."""
    known: set[object] = set()  # exercises, without weight and with, and what was said of all of them
    parts = []
    for step in steps:
        dose = step.dose
        done = [(each.key, bool(each.sets and dose.load_g)) for each in dose.exercises]
        first, *lines = _moves(text, dose)
        marks = [*done, *lines[len(done) :]]
        new = [line for mark, line in zip(marks, lines, strict=True) if mark not in known]
        onward = [] if step.last else [" ".join(_gates(text, step))]
        pictures = _pictures(text, dose, side, {key for key, loaded in done if (key, loaded) not in known})
        parts.append(Part(step_line(text, dose), (first, *new, *_rhythm(text, step), *onward), pictures))
        known.update(marks)
    parts.append(_cautions(text, emergency, steps[0].dose))
    what = (text("sheet.programme.what"),)
    return Worded(text("therapist.programme"), to_draw=_sheet(text, clinic, made, parts, what, "sheet.programme"))


def _sheet(
    text: Text, clinic: str, made: dt.datetime, parts: Iterable[Part], way_in: tuple[str, ...], of: str = "sheet",
    scan: str = "", diary: Diary | None = None,
) -> dict[str, object]:  # fmt: skip
    title, file = text(f"{of}.title"), text(f"{of}.file")
    clinic = shown(clinic, text("invitation.clinic"))
    return paper(text, title, clinic, text("sheet.foot"), made, file, parts, way_in, scan=scan, diary=diary)


def paper(
    text: Text, title: str, clinic: str, foot: str, made: dt.datetime, file: str, parts: Iterable[Part],
    way_in: tuple[str, ...], *, scan: str = "", diary: Diary | None = None,
) -> dict[str, object]:  # fmt: skip
    """What is drawn as a paper, as JSON values."""
    sheet = SheetFacts(
        title=title, clinic=clinic, foot=foot, page=text("therapist.file.page", page="{page}", pages="{pages}"),
        language=text.language, made=made.isoformat(), file=file, way_in=way_in, parts=tuple(parts), scan=scan,
        diary=diary,
    )  # fmt: skip
    return {"kind": "sheet", **asdict(sheet)}


def _pictures(text: Text, dose: DoseFacts, side: str, of: Iterable[str] | None = None) -> tuple[MovementFacts, ...]:
    """How the exercises look, or those `of` some keys, where the programme has a picture."""
    pack = Pack(text, dose.words)
    drawn = [each for each in dose.exercises if each.key in dose.pictures and (of is None or each.key in of)]
    return tuple(movement(text, pack, dose, each, side) for each in drawn)


def _moves(text: Text, dose: DoseFacts) -> tuple[str, ...]:
    """How to do it, without the cautions, which stand below for all of it."""
    pack = Pack(text, dose.words)
    cautions = {pack(key) for key in CALLS}
    return tuple(line for line in how_lines(text, dose) if line not in cautions)


def _beside(text: Text, dose: DoseFacts, first: DoseFacts) -> tuple[str, ...]:
    """A further step: where it asks for the same moves, how much of them is all there is to say."""
    same = [each.key for each in dose.exercises] == [each.key for each in first.exercises]
    return (f"{dose_line(text, dose)}.", text("sheet.same")) if same else _moves(text, dose)


def _rhythm(text: Text, step: StepFacts) -> list[str]:
    """Which days have sets, where not all of them do."""
    if all(step.rhythm):
        return []
    if step.rhythm == EVERY_OTHER:
        return [text("sheet.rhythm.other")]
    return [text("sheet.rhythm", sets=sum(step.rhythm), days=len(step.rhythm))]


def _onward(text: Text, step: StepFacts) -> list[str]:
    """What the next step asks for, and that nobody has to count it."""
    return [text("sheet.next.last.why")] if step.last else [" ".join(_gates(text, step)), text("sheet.next.told")]


def _gates(text: Text, step: StepFacts) -> list[str]:
    lines = [text("sheet.next.days", days=step.least_days)]
    if step.training_days:
        lines.append(text("sheet.next.trained", days=step.training_days))
    for place, gate in enumerate(step.onward):
        lines += _gate(text, step, gate) if not place or gate.after_days is None else [_sooner(text, gate)]
    return lines


def _gate(text: Text, step: StepFacts, gate: Gate) -> list[str]:
    long = max(step.mean_days, gate.mean_days.value if gate.mean_days else 0)
    lines = [text("sheet.next.mean", mean=text.number(gate.mean.value), days=text.number(long))]
    if gate.hold_days:
        lines.append(text("sheet.next.hold_days", days=text.number(gate.hold_days.value)))
    if gate.calm_limit and gate.calm_days:
        limit, days = text.number(gate.calm_limit.value), text.number(gate.calm_days.value)
        lines.append(text("sheet.next.calm", limit=limit, days=days))
    return lines


def _sooner(text: Text, gate: Gate) -> str:
    assert gate.after_days
    days, holds = text.number(gate.after_days.value), gate.hold_days
    key = "sheet.next.sooner.holds" if holds else "sheet.next.sooner"
    return text(key, days=days, mean=text.number(gate.mean.value), holds=text.number(holds.value) if holds else "")


def _cautions(text: Text, emergency: str, dose: DoseFacts) -> Part:
    lines = [*(Pack(text, dose.words)(key) for key in CALLS), *([emergency] if emergency else [])]
    return Part(text("sheet.cautions"), tuple(lines))
