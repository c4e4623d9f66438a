"""The digest as a message: what to do, what to look at, and of how many nothing; it fits a phone's screen."""

from collections.abc import Iterable, Sequence
from itertools import groupby

from bot.wording.attention import named as named_week
from bot.wording.attention import percent, reason, side_of_week, suggestion, worse
from bot.wording.catalogue import Text
from bot.wording.filling import LONGEST as LONGEST_NAME
from bot.wording.filling import Keyboard, command, data, in_rows, isolated, named, shown, task_button
from core.digest import PANELS, Digest, calm, having, needing, state
from core.digest.attention import Attention, Urgency
from core.digest.patient_week import PatientWeek
from core.records import Button, Worded

# What a six-inch phone shows of one message at the usual size of type, its head and the line to type in taken off.
# Judgement; counted on an emulated phone would be better.
WIDE, SCREEN = 40, 28  # characters a line, lines
LONGEST = 4096  # units of one message, as the messaging service counts them
WITH_FACTS = (Attention.STOPPED, Attention.TASK)  # of whom the message says more than the list
NEEDING = (Urgency.ACT, Urgency.LOOK)
GROUPED = (Attention.SCORE_DUE, Attention.UNSEEN)  # a line a reason, not a line a person
NAMES_SHOWN = (4, 2, 0)  # of each, as many as there is room for
CALM_STATES = ("halted", "away", "unreachable", "left", "completed")
# What the button beside a reason to act opens; each asks before anything is done.
ACT_VERBS = {
    Attention.STOPPED: "clear",
    Attention.SEVERE_TWICE: "write",
    Attention.QUESTION: "write",
    Attention.UNANSWERED: "write",
    Attention.UNSURE: "write",
    Attention.INJECTION: "looked",
    Attention.CIRCUMSTANCE: "write",
    Attention.UNREACHABLE: "task",
    Attention.SILENT: "write",
    Attention.LEFT: "discharge",
    Attention.THIRD_SETBACK: "dose",
    Attention.PLATEAU_26_WEEKS: "task",
    Attention.PLATEAU_12_WEEKS: "task",
}


def digest_message(text: Text, digest: Digest) -> Worded:
    """The digest as it is sent, with the page of each one tap away and what is proposed beside it."""
    names = _names(text, digest)
    first, *further = _texts(text, digest, names)
    acts = [(number, week) for number, week in numbered(digest) if week.urgency is Urgency.ACT][:PANELS]
    looks = [(number, week) for number, week in numbered(digest) if week.urgency is Urgency.LOOK][:PANELS]
    buttons = [(_page(text, number, week), *_act(text, number, week)) for number, week in acts]
    buttons += in_rows([_page(text, number, week) for number, week in looks], 2)
    buttons += in_rows(_grouped_buttons(text, digest, names), 2)
    keyboard: Keyboard = (*buttons, (command(text, "caseload"),))
    return Worded(first, keyboard, further=tuple(further))


def _page(text: Text, number: int, week: PatientWeek) -> Button:
    return named(text, "open", week.who.id, week.who.name, number)


def _act(text: Text, number: int, week: PatientWeek) -> tuple[Button, ...]:
    if week.attention[0] is Attention.TASK:
        return (task_button(text, week.who.id, week.who.tasks[0].id, number),)
    verb = ACT_VERBS.get(week.attention[0])
    if verb is None:
        return ()
    return (Button(f"{number}. {text(f'therapist.button.{verb}')}", data(verb, week.who.key)),)


def _grouped_buttons(text: Text, digest: Digest, names: int) -> list[Button]:
    """What is to be done about those in the lines that name several."""
    score = text("therapist.button.score")
    due = having(digest, Attention.SCORE_DUE)[:names]
    pages = [named(text, "open", each.who.id, each.who.name) for each in having(digest, Attention.UNSEEN)[:names]]
    return [Button(f"{score}: {shown(each.who.name, '', 16)}", data("score", each.who.key)) for each in due] + pages


def digest_texts(text: Text, digest: Digest) -> tuple[str, ...]:
    """The digest in one message; further ones only where more is to be done than a screen shows."""
    return _texts(text, digest, _names(text, digest))


def _names(text: Text, digest: Digest) -> int:
    """How many names a line of several people has: as many as leave room for all those who are to be looked at."""
    begin, acts, looks = _parts(text, digest)
    whole = [*begin, *acts, *_looks(text, looks, SCREEN), "", _foot(text, digest)]
    fits = (most for most in NAMES_SHOWN if _lines([*whole, *_grouped(text, digest, most)]) <= SCREEN)
    return next(fits, 0)


def _parts(text: Text, digest: Digest) -> tuple[list[str], list[str], list[tuple[int, PatientWeek]]]:
    """How it begins, what is to be done about each, and who is to be looked at."""
    lines = numbered(digest)
    acts = [_line(text, number, week) for number, week in lines if week.urgency is Urgency.ACT]
    title = [f"\n{text('therapist.digest.act', n=len(acts))}"] if acts else []
    begin = [_head(text, digest), _answered(text, digest), *unreadable(text, digest), *title]
    return begin, acts, [(number, week) for number, week in lines if week.urgency is Urgency.LOOK]


def _texts(text: Text, digest: Digest, names: int) -> tuple[str, ...]:
    if not digest.patients:
        return ("\n\n".join([_head(text, digest), *(unreadable(text, digest) or [text("therapist.digest.nobody")])]),)
    begin, acts, looks = _parts(text, digest)
    foot = "\n".join(["", *_grouped(text, digest, names), _foot(text, digest)])
    if _lines([*begin, *acts, *_looks(text, looks, 0), foot]) <= SCREEN:
        room = SCREEN - _lines([*begin, *acts, foot])
        return ("\n".join([*begin, *acts, *_looks(text, looks, room), foot]),)
    return _several(text, begin, acts, [*_looks(text, looks, 0), foot])


def screen_lines(message: str) -> int:
    """How many lines of a phone's screen a message takes."""
    return sum(max(-(-len(line) // WIDE), 1) for line in message.split("\n"))


def units(text: str) -> int:
    """Length in UTF-16 code units, as the messaging service counts."""
    return len(text.encode("utf-16-le", "surrogatepass")) // 2


def numbered(digest: Digest) -> tuple[tuple[int, PatientWeek], ...]:
    """Who has a line and a picture of their own, with the number both carry."""
    return tuple(enumerate(needing(digest), 1))


def _lines(parts: Iterable[str]) -> int:
    return screen_lines("\n".join(parts))


def _head(text: Text, digest: Digest) -> str:
    return text("therapist.digest.head", first=text.day(digest.monday), last=text.day(digest.sunday))


def _answered(text: Text, digest: Digest) -> str:
    counts = digest.counts
    parts = [text.many("therapist.digest.patients", counts.patients)]
    if counts.asked:
        parts.append(text("therapist.digest.answered", share=percent(text, counts.rated, counts.asked)))
    return ", ".join(parts)


def unreadable(text: Text, digest: Digest) -> list[str]:
    """A line on those who are missing, where anybody is."""
    names = [isolated(shown(each, text("therapist.no_name"))) for each in digest.unreadable]
    return [text("therapist.digest.unreadable", names=", ".join(names))] if names else []


def _line(text: Text, number: int, week: PatientWeek) -> str:
    """What is to be done about one person: the most urgent reason, and one proposal."""
    code = week.attention[0]
    why = _why(text, week, code) + _beside(text, week)
    first = text("therapist.digest.line", n=number, name=_name(text, week), why=why)
    proposed = suggestion(text, week.words, (code,))
    return f"{first}\n{text('therapist.digest.do', what=proposed)}" if proposed else first


def _why(text: Text, week: PatientWeek, code: Attention) -> str:
    """The reason in two or three words, where those have all that is to be known."""
    short = f"therapist.short.{code.value}"
    if said := worse(text, code, week.change):
        return said
    return text(short) if text.has(short) and code not in WITH_FACTS else reason(text, week, code)


def _group(text: Text, week: PatientWeek) -> str:
    """What those on one line have in common; who got worse stands alone, with their numbers."""
    code = week.attention[0]
    return worse(text, code, week.change) or text(f"therapist.short.{code.value}")


def _name(text: Text, week: PatientWeek) -> str:
    return isolated(named_week(text, week, LONGEST_NAME))


def _beside(text: Text, week: PatientWeek) -> str:
    """What is to be seen of the other side of a patient with two courses."""
    found = [(other, _why(text, other, other.attention[0])) for other in week.others if other.urgency in NEEDING]
    said = [text("therapist.side.of", side=side_of_week(text, other), what=why) for other, why in found]
    return "".join(f"; {each}" for each in said)


def _looks(text: Text, looks: Sequence[tuple[int, PatientWeek]], room: int) -> list[str]:
    """Who is to be looked at, by the most urgent reason, in so many lines; of the others how many they are."""
    if not looks:
        return []
    groups: list[tuple[int, str]] = []
    for what, members in groupby(looks, key=lambda one: _group(text, one[1])):
        people = [
            text("therapist.digest.number", n=number, name=_name(text, week) + _beside(text, week))
            for number, week in members
        ]
        groups.append((len(people), text("therapist.digest.group", what=what, people=", ".join(people))))
    shown_lines = [f"\n{text('therapist.digest.look', n=len(looks))}"]
    left = len(looks)
    for count, line in groups:
        more = text.many("therapist.digest.more_looks", left - count)
        if _lines([*shown_lines, line, *([more] if left > count else [])]) > room:
            break
        shown_lines.append(line)
        left -= count
    if left == len(looks):
        return [f"\n{text('therapist.digest.looks_elsewhere', n=left)}"]
    return [*shown_lines, text.many("therapist.digest.more_looks", left)] if left else shown_lines


def _grouped(text: Text, digest: Digest, most: int) -> list[str]:
    """A line a reason with the names of those it holds for, of the others how many; without room one line of both."""
    people = {code: having(digest, code) for code in GROUPED if having(digest, code)}
    if not most:
        counts = [text(f"therapist.digest.counted.{code.value}", n=len(who)) for code, who in people.items()]
        line = "; ".join(counts)
        return [f"{line[:1].upper()}{line[1:]}."] if counts else []
    lines = []
    for code, who in people.items():
        what, names = text(f"therapist.digest.{code.value}"), ", ".join(_name(text, week) for week in who[:most])
        key = "therapist.digest.group" if len(who) <= most else "therapist.digest.group.some"
        lines.append(text(key, what=what, people=names, n=len(who) - most))
    return [*lines, ""] if lines else []


def _foot(text: Text, digest: Digest) -> str:
    """Of how many nothing is asked, and what became of those."""
    rest = [each for each in calm(digest) if not set(GROUPED) & set(each.attention)]
    states = [state(each) for each in rest]
    counts = [("moved_up", sum(bool(each.moves) and each.moves[-1].up for each in rest))]
    counts += [(name, states.count(name)) for name in CALM_STATES]
    parts = [text(f"therapist.digest.count.{name}", n=n) for name, n in counts if n]
    nothing = text("therapist.digest.nothing", n=len(rest))
    return f"{nothing}{text('therapist.digest.of_them', counts=', '.join(parts)) if parts else '.'}"


def _several(text: Text, begin: list[str], acts: list[str], end: list[str]) -> tuple[str, ...]:
    """All that is to be done, in messages of which the first fits the screen; what else there is ends the last."""
    more = f"\n{text('therapist.digest.more')}"
    messages: list[str] = []
    current = begin
    for each in acts:
        fits = _lines([*current, each, more]) <= SCREEN if not messages else True
        if not fits or units("\n".join([*current, each, more])) > LONGEST:
            messages.append("\n".join([*current, more]))
            current = [text("therapist.digest.further", head=begin[0])]
        current = [*current, each]
    whole = [*current, *end]
    if (not messages and _lines(whole) > SCREEN) or units("\n".join(whole)) > LONGEST:
        messages.append("\n".join([*current, more]))
        current = [text("therapist.digest.further", head=begin[0])]
    return (*messages, "\n".join([*current, *end]))
