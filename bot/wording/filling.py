"""What messages are put together from: values fit to stand in a sentence, and buttons."""

import datetime as dt
import unicodedata
from collections.abc import Callable, Iterable, Mapping, Sequence

from bot.buttons import STAFF_VERBS, Verb, carried
from bot.wording.catalogue import INSTEAD, Text, WordingError, gaps, text_in
from core.facts import Words
from core.programme import Programme
from core.records import Button, Worded

LONGEST = 40
JOINERS = "\u200c\u200d"  # belong to the spelling of some languages, and to emoji
Rows = tuple[tuple[str, ...], ...]
Keyboard = tuple[tuple[Button, ...], ...]
RIGHT_TO_LEFT = ("R", "AL", "AN")


def shown(name: str, nobody: str, longest: int = LONGEST) -> str:
    """The name on one line, at most `longest` characters with a sign of what was cut; `nobody` where it is blank."""
    cleaned = "".join(
        character if character in JOINERS or unicodedata.category(character)[0] != "C" else " " for character in name
    )
    line = " ".join(cleaned.split()).strip(JOINERS)
    if not line:
        return nobody
    return line if len(line) <= longest else f"{line[: longest - 1].rstrip(' ' + JOINERS)}…"


def isolated(name: str) -> str:
    """The name so that one written from right to left does not turn the line around it."""
    if any(unicodedata.bidirectional(character) in RIGHT_TO_LEFT for character in name):
        return f"\u2068{name}\u2069"
    return name


def lines_of(words: str, most: int) -> str:
    """The words with their line ends kept and every other control character gone, cut at `most` characters."""
    lines = [shown(line, "", most) for line in words.splitlines()]
    whole = "\n".join(lines).strip()
    return whole if len(whole) <= most else f"{whole[: most - 1].rstrip()}…"


Word = Callable[..., Worded]  # of one kind of message: the language's texts, then what it tells, by name


def plain(text: Text, named: Mapping[str, object]) -> dict[str, object]:
    """Values as they are written in the middle of a sentence."""
    # never more than is known: it is on its way, or there is nobody whom it could reach
    told = named.get("told")
    passed = text(f"passed.{told if told in ('clinic_being', 'nobody') else 'being'}")
    return {"passed": passed} | {name: _in_a_sentence(text, name, value) for name, value in named.items()}


def _in_a_sentence(text: Text, name: str, value: object) -> object:
    if isinstance(value, dt.time):
        return text.time(value)
    if isinstance(value, dt.date):
        return text.day(value)
    if name == "zone":
        return town(str(value))
    return value or text("emergency") if name == "emergency" else value


def town(zone: str) -> str:
    """A zone's town as people write it: "New York"."""
    return zone.rpartition("/")[2].replace("_", " ")


def said(text: Text, kind: str, buttons: Keyboard = (), **named: object) -> Worded:
    """The text of that kind, where `again` is named after a word that the last answer was not understood."""
    words = text(kind, **plain(text, named))
    return Worded(f"{text('again')}\n\n{words}" if named.get("again") else words, buttons)


def asks(text: Text, planned: dt.date | None, today: dt.date) -> tuple[str, ...]:
    """When the next question comes: tonight, or on a later date; nothing where none is planned."""
    if planned is None:
        return ()
    return (text("asks.tonight") if planned == today else text("asks.on", date=text.day(planned)),)


class Pack:
    """The programme's words in the language of `text`, else in one that it has."""

    def __init__(self, text: Text, words: Words) -> None:
        self._texts = words.get(text.language) or next(iter(words.values()), {})

    def __call__(self, key: str, /, **gaps: object) -> str:
        """The text of `key` with its gaps filled; the key itself where a programme brought no words at all.

        Raises WordingError where it brought others: then the facts of the message lack this one.
        """
        if self._texts and key not in self._texts:
            raise WordingError(f"the words in the facts of this message have no text for {key!r}; hand it on, too")
        found = self._texts.get(key, key)
        return found.format(**gaps) if gaps else found

    def has(self, key: str) -> bool:
        return key in self._texts


def misplaced(programme: Programme) -> list[str]:
    """Words that stand in for a text which is not there, or ask for what that one is not given."""
    found = []
    for language, texts in programme.words.items():
        ours = text_in(language)
        for key, words in texts.items():
            name = key.removeprefix(INSTEAD)
            if name == key:
                continue
            if not ours.has(name):
                found.append(f"words.{language}.po: {key}: there is no text {name} to stand in for")
            elif more := gaps(words) - gaps(ours(name)):
                found.append(f"words.{language}.po: {key}: {', '.join(sorted(more))} cannot be filled in there")
    return found


def rows(text: Text, commands: Rows) -> Keyboard:
    """Buttons that stand for commands."""
    return tuple(tuple(Button(text(f"button.{name}"), carried(Verb.COMMAND, name)) for name in row) for row in commands)


def choices(text: Text, where: str, options: tuple[str, ...], words: str) -> Keyboard:
    """One row of answers to the question `where`, with which what each carries begins."""
    return (tuple(Button(text(f"{words}.{option}"), f"{where}.{option}") for option in options),)


def pain_scale(check_in: str) -> Keyboard:
    """0 to 10 in two rows that fit a small phone."""
    numbers = [Button(str(n), carried(Verb.PAIN, check_in, n)) for n in range(11)]
    return tuple(numbers[:6]), tuple(numbers[6:])


def sets_scale(check_in: str, asked: int) -> Keyboard:
    """0 to the sets asked of the day."""
    numbers = [Button(str(n), carried(Verb.SETS, check_in, n)) for n in range(asked + 1)]
    return tuple(tuple(numbers[start : start + 6]) for start in range(0, len(numbers), 6))


def about(text: Text, check_in: str, *verbs: tuple[Verb, str]) -> tuple[Button, ...]:
    """A row of buttons about one check-in: (verb, key of the label)."""
    return tuple(Button(text(label), carried(verb, check_in)) for verb, label in verbs)


LONGEST_LABEL = 24


def data(verb: str, about: object, value: object = "") -> str:
    """What a button of the staff's carries."""
    return carried(Verb.STAFF, STAFF_VERBS[verb], about, *([value] if value != "" else []))


def button(text: Text, verb: str, about: object, value: object = "", key: str = "") -> Button:
    """A button labelled from the catalogue."""
    return Button(text(f"therapist.button.{key or verb}"), data(verb, about, value))


def named(text: Text, verb: str, about: object, name: str, number: int | None = None, value: object = "") -> Button:
    """A button labelled by a name, with its number in the list before it."""
    label = shown(name, text("therapist.no_name"), LONGEST_LABEL)
    return Button(label if number is None else f"{number}. {label}", data(verb, about, value))


def task_button(text: Text, about: object, task_id: str, number: int) -> Button:
    """That a task is done; the end of its id is enough to know it among a patient's."""
    return Button(text("therapist.button.task_done", n=number), data("task_done", about, task_id[-8:]))


def command(text: Text, name: str) -> Button:
    """A button that stands for a command of the therapist's."""
    return Button(text(f"therapist.button.{name}"), carried(Verb.COMMAND, name))


def in_rows(buttons: Iterable[Button], wide: int) -> Keyboard:
    """So many buttons a row."""
    listed: Sequence[Button] = tuple(buttons)
    return tuple(tuple(listed[at : at + wide]) for at in range(0, len(listed), wide))


def turning(text: Text, verb: str, page: int, pages: int, value: object = "") -> Keyboard:
    """The way to the pages before and after; nothing where there is but one."""
    both = []
    if page:
        both.append(button(text, verb, page - 1, value, "earlier"))
    if page + 1 < pages:
        both.append(button(text, verb, page + 1, value, "further"))
    return (tuple(both),) if both else ()
