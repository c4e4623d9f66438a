"""What comes between the evenings: a break, days without a word, what the therapist did, questions of either side."""

import datetime as dt
from collections.abc import Sequence

from bot.buttons import Verb, carried
from bot.wording.catalogue import Text
from bot.wording.dose import dose_line, load_line, side_name, step_line
from bot.wording.filling import Pack, Word, asks, choices, in_rows, pain_scale, plain, rows, said, shown
from bot.wording.reasons import because
from core.facts import DecisionFacts, DoseFacts, SideFacts, Words
from core.records import Button, CheckIn, Worded

DAYS_AWAY = (3, 7, 14)


def _away(text: Text) -> Worded:
    buttons = [Button(text.many("away.days", days), carried(Verb.ANSWER, "away", days)) for days in DAYS_AWAY]
    buttons.append(Button(text("button.dont_know"), carried(Verb.ANSWER, "away", "open")))
    return said(text, "away.until", (tuple(buttons[:2]), tuple(buttons[2:])))


def _back(kind: str) -> Word:
    def word(
        text: Text, dose: DoseFacts, evening: dt.time, first: dt.date | None = None,
        decided: DecisionFacts | None = None, away: bool = False,
    ) -> Worded:  # fmt: skip
        day = text.day(first) if first else ""
        parts = [text(kind), *([text("away.first", first=day)] if first else [])]
        told = [each for each in decided.reasons if each.code.startswith(("gap", "long_gap"))] if decided else []
        parts += [" ".join(because(text, each) for each in told)] if told else []
        parts.append(f"{step_line(text, dose)}\n{dose_line(text, dose)}.")
        if decided and decided.ask_red_flags:
            parts.append(text("red_flags.tell"))
        then = text("asks.on", date=day) if first else text("away.then", evening=text.time(evening))
        parts.append(text("away.still") if away else then)
        return Worded("\n\n".join(parts), rows(text, (("today", "how"), ("why",))))

    return word


def _not_away(text: Text, next: dt.date | None, today: dt.date) -> Worded:
    return Worded(" ".join([text("away.not"), *asks(text, next, today)]))


def _meanwhile(text: Text, course: str) -> Worded:
    where = carried(Verb.MEANWHILE, course)
    return Worded(text("meanwhile.ask"), choices(text, where, ("most", "some", "none"), "meanwhile.choice"))


IN_THE_WAY = ("time", "hurts", "forgot", "no_help")
UNDER = {"time": ("today", "how"), "hurts": ("problem", "pause"), "forgot": ("evening",), "no_help": ("learn", "why")}


def _silent(kind: str) -> Word:
    """In place of the evening's question, with all that it is given; what is in the way, or the pain, is an answer."""

    def word(text: Text, check_in: CheckIn, sides: Sequence[tuple[SideFacts, DoseFacts]] = (), **_: object) -> Worded:
        first = [text("silence.side", side=side_name(text, sides[0][0]))] if sides else []
        buttons = (*pain_scale(check_in.id), *rows(text, (("pause", "problem"),)))
        if kind == "silence.ask":
            why = choices(text, carried(Verb.IN_THE_WAY), IN_THE_WAY, "silence.why")[0]
            buttons = (why[:2], why[2:], *pain_scale(check_in.id))
        return Worded("\n".join([text(kind), *first]), buttons)

    return word


def _in_the_way(why: str) -> Word:
    def word(text: Text) -> Worded:
        tell = (Button(text("silence.tell"), carried(Verb.IN_THE_WAY, "tell", why)),)
        return Worded(text(f"silence.{why}"), (*rows(text, (UNDER[why],)), tell))

    return word


def _told(
    text: Text, act: str, therapist: str, dose: DoseFacts | None, date: dt.date, today: dt.date,
    decided: DecisionFacts | None = None,
) -> Worded:  # fmt: skip
    """What the therapist did, and what is to be done from which day on."""
    what = text(f"override.told.{act}", therapist=_called(text, therapist))
    if dose is None and act == "stop":
        return Worded(what, rows(text, (("problem",),)))
    return _with_dose(text, what, dose, date, today, decided)


def _undone(text: Text, therapist: str, dose: DoseFacts | None, date: dt.date, today: dt.date) -> Worded:
    return _with_dose(text, text("override.undone", therapist=_called(text, therapist)), dose, date, today)


def _with_dose(
    text: Text, what: str, dose: DoseFacts | None, date: dt.date, today: dt.date, decided: DecisionFacts | None = None
) -> Worded:
    if dose is None:
        return Worded(f"{what}\n\n{text('override.still')}", rows(text, (("problem",),)))
    key = "today.now" if date == today else "today.later"
    line = text(key, date=text.day(date), dose=dose_line(text, dose))
    parts = [what, f"{line}\n{step_line(text, dose)}", *(load_line(text, decided) if decided else ())]
    return Worded("\n\n".join(parts), rows(text, (("how", "why"),)))


def _still(text: Text, again: bool = False, **_: object) -> Worded:
    return Worded(text("override.still.again" if again else "override.still"), rows(text, (("problem",),)))


def _by_therapist(kind: str, *under: str) -> Word:
    """A line that names the therapist, with the commands that go with it."""

    def word(text: Text, therapist: str, **named: object) -> Worded:
        buttons = rows(text, (under,)) if under else ()
        return said(text, kind, buttons, therapist=_called(text, therapist), **named)

    return word


def _wrote(text: Text, therapist: str, words: str) -> Worded:
    """Their own words, marked as theirs, with the way to answer."""
    parts = [text("wrote", therapist=_called(text, therapist)), words, text("wrote.answer")]
    return Worded("\n\n".join(parts), rows(text, (("problem",),)))


def _called(text: Text, therapist: str) -> str:
    return shown(therapist, text("your_therapist"))


A_ROW = 2


def _answer(text: Text, key: str, provenance: str, words: Words) -> Worded:
    answer = Pack(text, words)(f"question.{key}.answer")
    return Worded(f"{answer}\n\n{_origin(text, provenance)}", rows(text, (("ask", "questions"),)))


def _questions(text: Text, keys: Sequence[str], words: Words) -> Worded:
    pack = Pack(text, words)
    buttons = [Button(pack(f"question.{key}"), carried(Verb.TOPIC, key)) for key in keys]
    return Worded(text("questions"), (*in_rows(buttons, A_ROW), *rows(text, (("learn", "ask"),))))


def _learn(text: Text, key: str, provenance: str, after: str, words: Words) -> Worded:
    further = ((Button(text("button.next"), carried(Verb.LEARN, after)),),)
    under = further if after else rows(text, (("questions", "how"),))
    return Worded(f"{Pack(text, words)(f'why.{key}')}\n\n{_origin(text, provenance)}", under)


def _origin(text: Text, provenance: str) -> str:
    return text(f"question.from.{provenance.replace(' ', '_')}")


def _unread(text: Text, file: str, beside: bool, about: str, emergency: str) -> Worded:
    """What cannot be heard or seen here; with the way to the therapist where there is one."""
    words = text(f"file.beside.{file}" if beside else f"file.alone.{file}", **plain(text, {"emergency": emergency}))
    if not about:
        return Worded(words)
    return Worded(f"{words} {text('file.offer')}", ((Button(text("file.button"), carried(Verb.PASS_FILE, about)),),))


WHICH = (("numb", "weak"), ("hot", "chest"), ("low", "else"), ("none",))
WEAK = (("hurts", "painless"), ("neither",))


def _asked(kind: str, answers: tuple[tuple[str, ...], ...]) -> Word:
    """`no_sets`: with "one" arm or "both" none are done until it is answered; `bare`: what was said instead."""

    def word(
        text: Text, check_in_id: str, again: bool = False, no_sets: str = "", bare: str = "", **named: object
    ) -> Worded:
        where = carried(Verb.SIGN, check_in_id) if check_in_id else carried(Verb.ANSWER, "sign")
        buttons = tuple(
            tuple(Button(text(f"sign.choice.{choice}"), f"{where}.{choice}") for choice in row) for row in answers
        )
        words = text(kind, **plain(text, named))
        if no_sets:
            words = f"{words}\n{text(f'sign.no_sets.{no_sets}')}"
        first = text(f"sign.again.{bare}" if bare and no_sets else "sign.again")
        return Worded(f"{first}\n\n{words}" if again else words, buttons)

    return word


def _none(text: Text, sets: bool) -> Worded:
    """No sign; who was told to do no sets finds the way back to them."""
    if not sets:
        return Worded(text("sign.none"))
    return Worded(f"{text('sign.none')} {text('sign.none.sets')}", rows(text, (("today", "how"),)))


BETWEEN: dict[str, Word] = {
    "away.until": _away,
    "away.back": _back("away.back"),
    "away.not": _not_away,
    "meanwhile.ask": _meanwhile,
    "danger.cleared": _back("danger.cleared"),
    "silence.ask": _silent("silence.ask"),
    "silence.again": _silent("silence.again"),
    "silence.weekly": _silent("silence.weekly"),
    **{f"silence.{why}": _in_the_way(why) for why in IN_THE_WAY},
    "override.told": _told,
    "override.undone": _undone,
    "override.still": _still,
    "override.evening": _by_therapist("override.evening"),
    "override.side_ended": _by_therapist("override.side_ended", "today", "problem"),
    "handed_over": _by_therapist("handed_over"),
    "therapist.wrote": _wrote,
    "question.answer": _answer,
    "questions": _questions,
    "learn": _learn,
    "file": _unread,
    "sign.none": _none,
    "sign.which": _asked("sign.which", WHICH),
    "sign.weak": _asked("sign.weak", WEAK),
}
