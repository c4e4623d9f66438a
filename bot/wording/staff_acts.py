"""An act as it is asked about: what to choose, what to type, what will happen, and that it is done."""

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence

from bot.wording.attention import prtee_words
from bot.wording.catalogue import Text
from bot.wording.dose import dose_line
from bot.wording.filling import Keyboard, Pack, Word, button, data, in_rows, isolated, lines_of, named
from bot.wording.reasons import amounts_words, gate_words
from bot.wording.staff_lists import in_line
from core.facts import DoseFacts, SideFacts
from core.page import NextGate
from core.records import Button, Worded
from core.rule.dose import Amounts
from core.scores.prtee import change, score_of_total

Will = Mapping[str, object]  # what an act will come to, by the names that its function below takes
WORDS_SHOWN = 1000
A_ROW = {"hand_over": 1, "gate": 2}


def _choice(
    text: Text, act: str, person: str, name: str, number: str, will: Will, choices: Sequence[object], again: bool,
    **_: object,
) -> Worded:  # fmt: skip
    """What can be chosen, as buttons, and that it may be typed."""
    words = text(f"therapist.choose.{act}", name=in_line(text, name), **_stands(text, will))
    buttons = [_option(text, act, person, each) for each in choices]
    return Worded(
        f"{text('again')} {words}" if again else words,
        (*in_rows(buttons, A_ROW.get(act, 4)), _leave(text, person, number)),
    )


def _option(text: Text, act: str, who: str, option: object) -> Button:
    if isinstance(option, Sequence) and not isinstance(option, str):  # a colleague: id and name
        return named(text, act, who, option[1], value=option[0])
    written = str(option)
    return Button(OPTIONS[act](text, written) if act in OPTIONS else written, data(act, who, written))


def _dose_option(text: Text, option: str) -> str:
    return amounts_words(text, None if option == "programme" else Amounts(int(option[1:])))


def _gate_option(text: Text, option: str) -> str:
    return text("therapist.gate.programme") if option == "programme" else gate_words(text, float(option))


OPTIONS: dict[str, Callable[[Text, str], str]] = {
    "stay": lambda text, option: text("therapist.until", day=text.day(dt.date.fromisoformat(option))),
    "gate": _gate_option,
    "dose": _dose_option,
    "task": lambda text, option: text.day(dt.date.fromisoformat(option)),
    "evening": lambda text, option: text.time(dt.time(int(option[:2]), int(option[2:]))),
}


def _leave(text: Text, person: str, number: str) -> tuple[Button, ...]:
    return (button(text, "no", person, number, "leave"),)


def _typed(
    text: Text, act: str, person: str, name: str, number: str, will: Will, what: str, told: bool, **_: object
) -> Worded:
    """What will happen in short, and what is to be typed for it."""
    parts = [_will(text, act, name, will, told=told), text(f"therapist.type.{what}")]
    return Worded("\n\n".join(parts), (_leave(text, person, number),))


def _confirm(
    text: Text, act: str, person: str, name: str, number: str, will: Will, what: str, typed: str, told: bool,
    **_: object,
) -> Worded:  # fmt: skip
    """What will happen, in whose words, and yes or no."""
    words = isolated(lines_of(typed, WORDS_SHOWN))
    own = {"reason": text("therapist.reason", words=words), "message": words, "note": words, "task": words}
    parts = [_will(text, act, name, will, told=told), *([own[what]] if what in own else []), text("therapist.confirm")]
    buttons = ((button(text, "yes", person, number), button(text, "no", person, number)),)
    return Worded("\n\n".join(parts), buttons)


def _will(text: Text, act: str, name: str, will: Will, *, told: bool) -> str:
    """What the act will come to."""
    shown = {
        "name": in_line(text, name),
        "told": text("therapist.will.told" if told else "therapist.will.untold"),
    }
    if act in WILL:
        return WILL[act](text, act, shown, **will)
    return text(f"therapist.will.{act}", **shown, **_stands(text, will))


def _stands(text: Text, will: Will) -> dict[str, object]:
    """The day of a task; a side as it stands in a sentence; the mean of a gate now, in the programme, afterwards."""
    due, side, gate, after = (will.get(name) for name in ("due", "side", "gate", "after"))
    shown: dict[str, object] = {"day": text.day(due)} if isinstance(due, dt.date) else {}
    if isinstance(side, SideFacts):
        shown["side"] = Pack(text, side.words)(f"side.{side.side}")
    if isinstance(gate, NextGate):
        now, later = gate.programme if gate.own is None else gate.own, after if isinstance(after, float) else None
        means = {"before": now, "programme": gate.programme, "gate": later}
        shown |= {"step": gate.step} | {name: gate_words(text, mean) for name, mean in means.items()}
    return shown


Shown = Mapping[str, str]  # the name, and whether they are told, as they stand in the sentence


def _moved(
    text: Text, act: str, shown: Shown, before: int, to: int, dose: DoseFacts | None, for_date: dt.date,
    start: bool = False,
) -> str:  # fmt: skip
    words = dose_line(text, dose) if dose else text("dose.rest")
    key = f"therapist.will.{'start' if start else act}"
    return text(key, **shown, before=before, step=to, day=text.day(for_date), dose=words)


def _stay(text: Text, _: str, shown: Shown, to: int, until: dt.date, **__: object) -> str:
    return text("therapist.will.stay", **shown, step=to, until=text.day(until))


def _dose(text: Text, _: str, shown: Shown, amounts: Amounts, **__: object) -> str:
    return text("therapist.will.dose", **shown, amounts=amounts_words(text, amounts))


def _gate(text: Text, _: str, shown: Shown, programmes: bool, **will: object) -> str:
    return text(f"therapist.will.{'ungate' if programmes else 'gate'}", **shown, **_stands(text, will))


def _clear(text: Text, act: str, shown: Shown, flag: str, **__: object) -> str:
    return text(f"therapist.will.{act}.{flag}", **shown)


def _evening(text: Text, _: str, shown: Shown, before: dt.time, after: dt.time) -> str:
    return text("therapist.will.evening", **shown, before=f"{before:%H:%M}", after=f"{after:%H:%M}")


def _switched(text: Text, act: str, shown: Shown, before: bool) -> str:
    return text(f"therapist.will.{act}.{'off' if before else 'on'}", **shown)


def _score(
    text: Text, _: str, shown: Shown, week: int = 0, total: float | None = None, pain: float | None = None,
    function: float | None = None, answered: int = 0, since: int = 0, first: float | None = None,
) -> str:  # fmt: skip
    if total is None:
        return text("therapist.will.score.ask", **shown)
    parts = [text("therapist.will.score", **shown, week=week, total=text.number(total))]
    if pain is not None and function is not None:
        of_parts = {"pain": text.number(pain), "function": text.number(function), "answered": answered}
        parts.append(text("therapist.will.score.parts", **of_parts))
    if first is not None:
        changed = prtee_words(text, change(score_of_total(first), score_of_total(total)))
        parts.append(text("therapist.will.score.since", since=changed, week=since))
    return " ".join(parts)


def _diary(text: Text, _: str, shown: Shown, evenings: Iterable[tuple[dt.date, int | None, int | None, bool]]) -> str:
    """Each evening (pain, sets) as it was read, and what stays because the patient answered it themselves."""
    lines = [text("therapist.will.diary", **shown)]
    for date, pain, sets, stays in evenings:
        key = "stays" if stays else "pain" if sets is None else "both"
        shown_sets = "-" if sets is None else sets
        lines.append(text(f"therapist.will.diary.{key}", day=text.day(date), pain=pain, sets=shown_sets))
    return "\n".join(lines)


def _hand_over(text: Text, _: str, shown: Shown, colleague: str, out_of_sight: bool) -> str:
    more = [text("therapist.will.hand_over.out_of_sight")] if out_of_sight else []
    return " ".join([text("therapist.will.hand_over", **shown, colleague=in_line(text, colleague)), *more])


WILL: dict[str, Callable[..., str]] = {
    **dict.fromkeys(("up", "back", "to", "go_on"), _moved),
    **dict.fromkeys(("morning", "second"), _switched),
    "stay": _stay,
    "dose": _dose,
    "gate": _gate,
    "clear": _clear,
    "evening": _evening,
    "score": _score,
    "diary": _diary,
    "hand_over": _hand_over,
}


def _done(text: Text, act: str, person: str, name: str, will: Will, undo: str) -> Worded:
    """That it is done, with the way back where there is one."""
    row = [button(text, "undo", person, undo)] if undo else []
    row += [] if will.get("out_of_sight") else [button(text, "open", person)]
    under: Keyboard = (tuple(row),) if row else ()
    return Worded(text(f"therapist.done.{act}", name=in_line(text, name)), under)


STAFF_ACTS: dict[str, Word] = {
    "therapist.act.choice": _choice,
    "therapist.act.typed": _typed,
    "therapist.act.confirm": _confirm,
    "therapist.act.done": _done,
}
