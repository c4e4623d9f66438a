"""A letter to the doctor and a discharge summary: drafted from the record, changed by the therapist, then on paper.

A draft is paragraphs with a blank line between them; the first line of a longer one is its heading.
"""

import datetime as dt
from collections.abc import Iterable, Sequence

from bot.buttons import Verb, carried
from bot.drawn.routine import Part
from bot.wording.attention import percent, scores_words, signed
from bot.wording.catalogue import Text
from bot.wording.digest_page import band_words, untold
from bot.wording.dose import dose_line, kilos, rung, step_name
from bot.wording.filling import Pack, Word, button, isolated, shown
from bot.wording.progress import goals_for_staff
from bot.wording.sheet import paper
from bot.wording.staff_lists import in_line
from core.facts import LetterFacts, Sign, StepBack
from core.records import Button, Status, Worded
from core.scores import SOURCES
from core.weeks import LEAST_RATINGS, WEEK_DAYS, Week

SIGNS_SHOWN, SIGN_WORDS = 6, 300  # the latest; characters of each
SEVERE_SHOWN = 6
JUDGED = frozenset({Status.ACTIVE, Status.DISCHARGED})  # a therapist has the last dose in hand, or had it at the end
DATES_SHOWN = 12
A_MESSAGE = 3500  # characters: the service takes 4096, and a part that is sent back needs its number
LINE = 90  # characters of the clinic's name


def _draft(text: Text, courses: Sequence[LetterFacts]) -> Worded:
    """Everything the record has, a paragraph a subject, and an empty line for what only the therapist can say."""
    first, parts = courses[0], [_patient(text, courses)]
    for one in courses:
        of_one = [
            _programme(text, one), _pain(text, one), _sets(text, one), _steps_back(text, one), _injections(text, one),
            _outcomes(text, one),
        ]  # fmt: skip
        parts += of_one if len(courses) == 1 else [_of_side(text, one, part) for part in of_one]
    parts.append(_signs(text, courses))
    if first.kind == "summary":
        parts += _ending(text, courses)
    return Worded("\n\n".join([*parts, _part(text, f"ask.{first.kind}", [text("therapist.letter.blank")])]))


def _part(text: Text, key: str, lines: Iterable[str]) -> str:
    return "\n".join([text(f"therapist.letter.{key}"), *lines])


def _of_side(text: Text, letter: LetterFacts, part: str) -> str:
    """The part with the side in its heading, where there are two courses."""
    heading, _, lines = part.partition("\n")
    return f"{text('therapist.letter.of_side', heading=heading, side=_side(text, letter))}\n{lines}"


def _side(text: Text, letter: LetterFacts) -> str:
    return Pack(text, letter.words)(f"side.{letter.side}")


def _patient(text: Text, courses: Sequence[LetterFacts]) -> str:
    name = isolated(shown(courses[0].name, text("therapist.no_name")))
    who = ", ".join([name, *(_side(text, each) for each in courses)])
    return _part(text, "patient", [who, text("therapist.letter.born")])


def _programme(text: Text, letter: LetterFacts) -> str:
    ended, words, here = ".ended" if letter.ended else "", letter.words, letter.rungs[-1]
    rungs = [
        text("therapist.letter.rung", n=each.number, name=step_name(text, words, each.key), day=text.date(each.since))
        for each in letter.rungs[-DATES_SHOWN:]
    ]
    weight = "kg" if letter.load_g else "no_kg"
    load = text(f"therapist.letter.{weight}", kg=kilos(text, letter.load_g))
    step = rung(text, letter.step, letter.steps, step_name(text, words, here.key))
    dose = text(f"therapist.letter.stopped.{letter.stopped}") if letter.dose is None else _dose(text, letter)
    began = {"what": Pack(text, words)("title"), "day": text.date(letter.started)}
    lines = [
        text(f"therapist.letter.since{ended}", **began, week=letter.week, steps=letter.steps),
        text("therapist.letter.way", rungs=", ".join(rungs)),
        text(f"therapist.letter.now{ended}", step=step, load=load),
        *([] if ended else [dose]),
    ]
    return _part(text, "programme", lines)


def _dose(text: Text, letter: LetterFacts) -> str:
    assert letter.dose
    key = "therapist.letter.dose" if letter.daily else "therapist.letter.dose.some_days"
    return text(key, dose=dose_line(text, letter.dose))


def _pain(text: Text, letter: LetterFacts) -> str:
    lines = [text("therapist.letter.scale")]
    lines += [_week(text, key, week) for key, week in (("first", letter.first), ("last", letter.last)) if week]
    if letter.first is None:
        lines.append(text("therapist.letter.week.none"))
    if change := letter.change:
        points = signed(text, change.points)
        if change.share is not None:
            points = text("therapist.letter.share", points=points, share=signed(text, 100 * change.share, 0))
        rows = (row for figure in change.figures for row in figure.rows if row in SOURCES)
        cited = "; ".join(SOURCES[row].citation for row in dict.fromkeys(rows))
        key = "therapist.letter.change.cited" if cited else "therapist.letter.change"
        lines.append(text(key, points=points, band=band_words(text, change.band), cited=cited))
    elif letter.first and letter.last and (few := min(letter.first.rated, letter.last.rated)) >= LEAST_RATINGS:
        lines.append(text.many("therapist.letter.change.few", few))
    return _part(text, "pain", lines)


def _week(text: Text, which: str, week: Week) -> str:
    days = {"first": text.date(week.first), "last": text.date(week.first + dt.timedelta(days=WEEK_DAYS - 1))}
    name = text(f"therapist.letter.week.{which}", **days)
    if week.mean is None or week.rated < LEAST_RATINGS:
        return text.many("therapist.letter.week.few", week.rated, week=name)
    return text.many("therapist.letter.week.mean", week.rated, week=name, mean=text.tenths(week.mean))


def _sets(text: Text, letter: LetterFacts) -> str:
    sets = letter.sets
    share, key = percent(text, sets.done, sets.asked), "known" if sets.asked else "unknown" if sets.untold else "none"
    known = text(f"therapist.letter.sets.{key}", done=sets.done, asked=sets.asked, share=share)
    return _part(text, "sets", [f"{known}{untold(text, sets.untold)}."])


def _steps_back(text: Text, letter: LetterFacts) -> str:
    flares = _days(text, letter.flares)
    backs = ", ".join(_step_back(text, each) for each in letter.step_backs[-DATES_SHOWN:])
    return _part(text, "steps_back", [
        text("therapist.letter.flares", days=flares) if flares else text("therapist.letter.flares.none"),
        _severe(text, letter),
        text("therapist.letter.backs", backs=backs) if backs else text("therapist.letter.backs.none"),
    ])  # fmt: skip


def _severe(text: Text, letter: LetterFacts) -> str:
    """The days of severe pain, which may be no flare by the rule."""
    limit, shown_days = text.number(letter.severe_limit, 0), letter.severe[-SEVERE_SHOWN:]
    if not shown_days:
        return text("therapist.letter.severe.none", limit=limit)
    days = [text("therapist.letter.severe.day", day=text.date(day), pain=pain) for day, pain in shown_days]
    said = text("therapist.letter.severe", limit=limit, days=", ".join(days))
    earlier = len(letter.severe) - len(days)
    return f"{said} {text.many('therapist.letter.signs.earlier', earlier)}" if earlier else said


def _step_back(text: Text, back: StepBack) -> str:
    said = text("therapist.letter.back", day=text.date(back.date), step=back.step)
    keys = (f"therapist.letter.back.{code}" for code in back.why)
    why = next((text(key) for key in keys if text.has(key)), "")
    return text("therapist.letter.back.why", back=said, why=why) if why else said


def _days(text: Text, days: Sequence[dt.date]) -> str:
    return ", ".join(text.date(day) for day in dict.fromkeys(days[-DATES_SHOWN:]))


def _signs(text: Text, courses: Sequence[LetterFacts]) -> str:
    """What was told, whichever side it was told of, and when the questions about signs were answered with no."""
    signs = courses[0].signs
    lines = [_sign(text, each) for each in signs[-SIGNS_SHOWN:]]
    earlier = len(signs) - len(lines)
    more = [text.many("therapist.letter.signs.earlier", earlier)] if earlier else []
    denied = _days(text, sorted(day for each in courses for day in each.denied))
    asked = [text("therapist.letter.denied", days=denied)] if denied else []
    return _part(text, "signs", [*more, *(lines or [text("therapist.letter.none_told")]), *asked])


def _sign(text: Text, sign: Sign) -> str:
    own = f"therapist.letter.sign.{sign.flag}"
    what = text(own if text.has(own) else "therapist.letter.sign")
    words = isolated(shown(sign.said, "", SIGN_WORDS))
    key = "therapist.letter.sign.said" if words else "therapist.letter.sign.tapped"
    return text(key, day=text.date(sign.date), words=words, what=what)


def _injections(text: Text, letter: LetterFacts) -> str:
    days = ", ".join(text.date(day) for day in letter.injections)
    return _part(text, "injections", [days or text("therapist.letter.none_told")])


def _outcomes(text: Text, letter: LetterFacts) -> str:
    lines = goals_for_staff(text, letter.goals)
    if letter.scores:
        lines.append(text("therapist.letter.scores", scores="; ".join(scores_words(text, letter.scores))))
    return _part(text, "outcomes", lines or [text("therapist.letter.none_recorded")])


def _ending(text: Text, courses: Sequence[LetterFacts]) -> list[str]:
    """How it ended, and what to keep doing: the last dose where there is one, for the therapist to judge."""
    first = courses[0]
    key, day = f"therapist.letter.ended.{first.status}", text.date(first.ended) if first.ended else ""
    how = [text(key if text.has(key) else "therapist.letter.ended.open", day=day)]
    if reason := shown(first.reason, "", SIGN_WORDS):
        how.append(text("therapist.letter.ended.why", reason=isolated(reason)))
    doses = [_dose(text, each) if each.dose else text("therapist.letter.blank") for each in courses]
    if len(courses) > 1:
        sides = (_side(text, each) for each in courses)
        both = zip(sides, doses, strict=True)
        doses = [text("therapist.letter.keep.side", side=side, dose=dose) for side, dose in both]
    if first.status not in JUDGED:
        last = "; ".join(doses).rstrip(".") if all(each.dose for each in courses) else ""
        doses = [text("therapist.letter.keep.confirm", dose=last)] if last else doses
    return [_part(text, "ending", how), _part(text, "keep", doses)]


def _show(
    text: Text, person: str, name: str, kind: str, parts: Sequence[str], closing: str, number: str, no_part: int
) -> Worded:
    """The draft as it stands, its parts numbered; then how it is changed, or whether it is right."""
    title = text(f"therapist.letter.title.{kind}")
    messages = [text("therapist.letter.head", title=title, name=in_line(text, name))]
    for place, part in enumerate(parts, 1):
        line = text("therapist.letter.part", n=place, part=isolated(part))
        if len(messages[-1]) + len(line) > A_MESSAGE:
            messages.append(line)
        else:
            messages[-1] += f"\n\n{line}"
    how = [text("therapist.letter.no_part", n=no_part)] if no_part else []
    how.append(text("therapist.letter.how"))
    if closing:
        how.append(text("therapist.letter.closing", closing=isolated(closing)))
    how.append(text("therapist.letter.right" if closing else "therapist.letter.close"))
    sign = (button(text, "signed", person, number),) if closing else ()
    leave = Button(text("therapist.button.leave"), carried(Verb.COMMAND, "cancel"))
    return Worded(messages[0], ((*sign, leave),), further=(*messages[1:], "\n\n".join(how)))


def _written(
    text: Text, name: str, kind: str, parts: Sequence[str], closing: str, clinic: str, made: dt.date, **_: object
) -> Worded:
    """The finished text as a file."""
    title = text(f"therapist.letter.title.{kind}")
    whole = [title, shown(clinic, "", LINE), text.date(made), *parts, closing]
    whole = [*filter(None, whole), text("therapist.letter.caution")]
    words = text("therapist.letter.written", title=title, name=in_line(text, name))
    return Worded(words, document=(_file(text, kind, made, "txt"), "\n\n".join(whole) + "\n"))


def _on_paper(
    text: Text, kind: str, parts: Sequence[str], closing: str, clinic: str, made: dt.date, at: dt.datetime, **_: object
) -> Worded:
    """The same to be printed."""
    last = Part("", (*closing.splitlines(), "", text("therapist.letter.caution")))
    sheet = paper(
        text, text(f"therapist.letter.title.{kind}"), shown(clinic, "", LINE), text("therapist.letter.foot"), at,
        _file(text, kind, made, "pdf"), (*map(_headed, parts), last), (text.date(made),),
    )  # fmt: skip
    return Worded(text("therapist.letter.paper"), to_draw=sheet)


def _headed(part: str) -> Part:
    heading, *lines = part.splitlines()
    return Part(heading, tuple(lines)) if lines else Part("", (heading,))


def _file(text: Text, kind: str, made: dt.date, ending: str) -> str:
    """No name of a person is in it."""
    return text(f"therapist.letter.file.{kind}", day=made.isoformat(), ending=ending)


LETTERS: dict[str, Word] = {
    "therapist.letter.draft": _draft,
    "therapist.letter": _show,
    "therapist.letter.text": _written,
    "therapist.letter.pdf": _on_paper,
}
