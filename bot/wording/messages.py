"""Every kind of message: which texts it is made of and which buttons stand under it."""

import datetime as dt
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from bot.buttons import Verb, carried
from bot.wording.between import BETWEEN
from bot.wording.catalogue import Text, WordingError, text_in
from bot.wording.dose import dose_line, how_lines, of_one_arm, side_name, step_line
from bot.wording.enrolling import ENROLLING, times, zones
from bot.wording.evening import EVENING, still_help
from bot.wording.filling import Rows, Word, asks, choices, plain, rows, said
from bot.wording.guided import GUIDED, start_buttons
from bot.wording.progress import PROGRESS
from bot.wording.reasons import chain, figure_line
from bot.wording.sheet import own_sheet
from bot.wording.staff import STAFF
from core.facts import DecisionFacts, DoseFacts, FigureFacts, SideFacts
from core.records import Button, Worded

MENU: Rows = (
    ("today", "how"), ("why", "progress"), ("change", "pause"), ("questions", "learn"), ("evening", "nudges"),
    ("zone", "problem", "help"),
)  # fmt: skip
SIDED = frozenset({"evening.outcome", "red_flags.once_more", "therapist.decisions"})  # say more than which side it is


def in_words(kind: str, language: str, facts: Mapping[str, object]) -> Worded:
    """Word one message; raises WordingError for a kind that has no words.

    `facts` are the named values that the kind's function takes, or the gaps of its text; and for any kind `instead`, a
    programme's own words in place of these, and `of_side`, which of a person's two courses it is about.
    """
    named = dict(facts)
    instead, side = named.pop("instead", None), named.pop("of_side", None)
    text = text_in(language).with_words(instead) if isinstance(instead, Mapping) else text_in(language)
    if not isinstance(side, SideFacts):
        return _in_words(text, kind, named)
    named = {name: _of_one_arm(value, side) for name, value in named.items()}
    worded = _in_words(text, kind, named | ({"of_side": side} if kind in SIDED else {}))
    return replace(worded, text=f"{text('side.heading', side=side_name(text, side))}\n{worded.text}")


def _of_one_arm(value: object, side: SideFacts) -> object:
    if isinstance(value, DecisionFacts) and value.dose:
        return replace(value, dose=of_one_arm(value.dose, side))
    return of_one_arm(value, side) if isinstance(value, DoseFacts) else value


def _in_words(text: Text, kind: str, named: Mapping[str, object]) -> Worded:
    if kind in MESSAGES:
        return MESSAGES[kind](text, **named)
    if not text.has(kind):
        raise WordingError(f"message kind {kind!r}: no words for it")
    return Worded(text(kind, **plain(text, named)))


def _today(text: Text, dose: DoseFacts, date: dt.date, today: dt.date) -> Worded:
    line = text("today.now" if date == today else "today.later", date=text.day(date), dose=dose_line(text, dose))
    now = start_buttons(text, dose) if date == today else ()
    return Worded(f"{line}\n{step_line(text, dose)}", (*now, *rows(text, (("how", "why"),))))


def _how(text: Text, dose: DoseFacts) -> Worded:
    moving: Rows = (("moving",),) if dose.pictures else ()
    buttons = (*start_buttons(text, dose), *rows(text, (*moving, ("today", "problem"))))
    return Worded("\n\n".join(how_lines(text, dose)), buttons)


def _why(text: Text, decided: DecisionFacts | None, dose: DoseFacts, figures: Sequence[FigureFacts]) -> Worded:
    parts = [f"{step_line(text, dose)}\n{dose_line(text, dose)}."]
    if decided:
        parts.append("\n".join([text("why.decided", date=text.day(decided.date)), *chain(text, decided.reasons)]))
    else:
        parts.append(text("why.start"))
    if figures:
        parts.append("\n".join([text("why.numbers"), *(figure_line(text, figure) for figure in figures)]))
    parts.append(text("why.end"))
    return Worded("\n\n".join(parts))


def _danger(text: Text, what: str, emergency: str, told: str = "") -> Worded:
    own = f"danger.stopped.{told}"
    first = text(f"danger.{what}", **plain(text, {"emergency": emergency, "told": told}))
    return Worded("\n\n".join([first, text(own if text.has(own) else "danger.stopped"), text("danger.not")]))


def _unhandled(text: Text, emergency: str, told: str) -> Worded:
    told = text(f"danger.unhandled.{told}")
    return Worded(text("danger.unhandled", emergency=emergency, told=told))


def _injection_told(text: Text, days: int, **named: object) -> Worded:
    return Worded(text.many("injection.told", days, **plain(text, named)))


def _danger_still(text: Text, flag: str, emergency: str, told: str = "", again: bool = False) -> Worded:
    known = [text(f"danger.{told}")] if told else []
    help_ = still_help(text, flag, emergency)
    if again:
        return Worded(" ".join([text("danger.still.again"), help_, *known]))
    return Worded("\n\n".join([text("danger.still"), *known, help_]))


def _under(kind: str, commands: Rows) -> Word:
    """A text with buttons that stand for commands."""
    return lambda text, **named: said(text, kind, rows(text, commands), **named)


def _help_menu(text: Text, next: dt.date | None, today: dt.date) -> Worded:
    return Worded(" ".join([text("help.set"), *asks(text, next, today), text("help.what")]), rows(text, MENU))


def _erase_ask(text: Text, **_: object) -> Worded:
    return Worded(text("erase.ask"), choices(text, carried(Verb.ANSWER, "erase"), ("yes", "no"), "erase"))


def _export(text: Text, data: Mapping[str, object]) -> Worded:
    written = json.dumps(data, ensure_ascii=False, indent=2, sort_keys=True)
    return Worded(text("export"), document=(text("export.file"), written))


def _made_when_drawn(text: Text, **named: object) -> Worded:
    """A digest or a part of one: nothing of it is known before it is made."""
    return Worded(to_draw=named)


def _which_side(kind: str) -> Word:
    """Of which side it is meant; each with what its button carries."""

    def word(text: Text, sides: Iterable[tuple[SideFacts, str]], **_: object) -> Worded:
        buttons = tuple(Button(side_name(text, side), data) for side, data in sides)
        return Worded(text(kind), (buttons,) if buttons else ())

    return word


WHICH_SIDE = ("which_side.act", "which_side.change", "which_side.numbers", "which_side.set")

MESSAGES: dict[str, Word] = {
    **dict.fromkeys(("therapist.digest", "therapist.digest_picture", "therapist.digest_pdf"), _made_when_drawn),
    **{kind: _which_side(kind) for kind in WHICH_SIDE},
    **{kind: _under(kind, MENU) for kind in ("help", "help.unknown_command", "chat.nothing_open")},
    **BETWEEN,
    **ENROLLING,
    **EVENING,
    **GUIDED,
    **PROGRESS,
    **STAFF,
    "today": _today,
    "how": _how,
    "how.sheet": own_sheet("how.sheet"),
    "why": _why,
    "time.ask": times("time.ask", "time"),
    "time.again": times("time.again", "time"),
    "zone.ask": zones("zone.ask", "zone"),
    "zone.near": zones("zone.ask", "zone"),
    "zone.again": zones("zone.again", "zone"),
    "danger": _danger,
    "injection.told": _injection_told,
    "danger.still": _danger_still,
    "danger.unhandled": _unhandled,
    "help.menu": _help_menu,
    "erase.ask": _erase_ask,
    "export": _export,
    "privacy": _under("privacy", (("export", "erase"),)),
}
