"""A letter to the doctor or a discharge summary: drafted from the record, changed as typed, handed to who asked.

The draft lives in the dialogue as a list of paragraphs, sealed, so that what was typed outlives a restart. Nothing is
made before a yes, and nothing goes to anybody but the therapist.
"""

import re
from typing import Any

from bot.conversation.staff.patients import find, named, patient, say_of
from bot.conversation.talk import StaffTalk, plain
from bot.conversation.typed import typed_button
from core.errors import RefusalError
from core.records import Person
from core.timetable import local_date
from core.use_cases.exporting import letter_facts
from core.use_cases.rights import audit, trimmed

FLOW = "letter"
LONGEST_PART, LONGEST_CLOSING, LONGEST_WHOLE = 1500, 200, 3500  # characters; a chat cuts longer messages in two
MOST_PARTS = 20
OUT = frozenset({"-", "–", "—"})  # in place of new words: the part goes
_PART = re.compile(r"(\d{1,2})([.:)])\s*(.*)")


def by_name(talk: StaffTalk) -> None:
    """/letter NAME, /summary NAME."""
    kind, found = talk.came.command or talk.came.data.rpartition(".")[2], named(talk)
    if len(found) == 1:
        begin(talk, kind, patient(talk, found[0].id, kind))
    elif talk.came.text.strip():
        find(talk)
    else:
        talk.say("therapist.letter.whose", command=kind)


def begin(talk: StaffTalk, kind: str, person: Person) -> None:
    """Draft it, anew where there was a draft."""
    talk.nothing_open()
    facts = {"courses": letter_facts(talk.work, person, kind)}
    words = talk.work.wording("therapist.letter.draft", talk.staff.language, facts)
    _show(talk, person, kind, words.text.split("\n\n"), "")


def _show(talk: StaffTalk, person: Person, kind: str, parts: list[str], closing: str, no_part: int = 0) -> None:
    """The draft as it is now, under a number of its own: the yes of an earlier one counts no more."""
    now: dict[str, Any] = {"kind": kind, "parts": parts, "closing": closing, "number": talk.work.new_id()[-8:]}
    talk.wait_for(FLOW, person=person.id, **now)
    say_of(talk, person, "therapist.letter", **now, no_part=no_part)


def on_text(talk: StaffTalk) -> None:
    """A part with its number, the whole text anew, the closing line, or yes and no."""
    facts = talk.dialogue.facts
    person = patient(talk, str(facts["person"]), "ask")
    kind, parts, closing = str(facts["kind"]), list(facts["parts"]), str(facts["closing"])
    no_part = 0
    if talk.typed("words.no") or talk.typed("words.leave_it"):
        talk.nothing_open()
        talk.say("therapist.nothing_changed")
        return
    if talk.typed("words.yes"):
        if closing:
            on_signed(talk, person.id, str(facts["number"]))
            return
    elif (tapped := typed_button(talk.work.uow, talk.came, asked=False, numbers=False)) and ".signed." in tapped:
        on_signed(talk, person.id, str(facts["number"]))
        return
    elif tapped or _is_name(talk):
        raise RefusalError("a name or a button in place of words", "letter_closing", line=talk.came.text)
    elif found := _PART.match(talk.came.text.strip()):
        no_part = 0 if 1 <= int(found[1]) <= len(parts) else int(found[1])
        parts = parts if no_part else changed(parts, talk.came.text)
    elif "\n\n" in talk.came.text.strip() or len(talk.came.text) > LONGEST_CLOSING:
        parts = paragraphs(trimmed(talk.came.text, LONGEST_WHOLE))
    else:
        closing = _squeezed(trimmed(talk.came.text, LONGEST_CLOSING))
    _show(talk, person, kind, parts, closing, no_part)


def _is_name(talk: StaffTalk) -> bool:
    """Whether a patient's name was typed, as where nothing is asked: a page was wanted."""
    return any(plain(each.name) == plain(talk.came.text) for each in named(talk))


def changed(parts: list[str], typed: str) -> list[str]:
    """The parts with those put in that `typed` has by number: "3: new words".

    "3." begins one only where it goes on counting up, so that a part may hold a list of its own. A part keeps its
    heading; a hyphen takes it out. RefusalError for more than a part can hold.
    """
    new: dict[int, list[str]] = {}
    now = 0
    for line in typed.strip().splitlines():
        found = _PART.match(line.strip())
        if found and 1 <= int(found[1]) <= len(parts) and (found[2] == ":" or int(found[1]) > now):
            now = int(found[1])
            new[now] = [found[3]]
        else:
            new[now].append(line)
    kept = []
    for place, part in enumerate(parts, 1):
        words = _squeezed("\n".join(new[place])) if place in new else part
        if place in new and words and words not in OUT:
            words = _under(part, trimmed(words, LONGEST_PART))
        kept.append("" if words in OUT else words)
    return [part for part in kept if part] or parts


def _under(part: str, words: str) -> str:
    """The new words under the heading that the part had."""
    heading, *lines = part.splitlines()
    return f"{heading}\n{words}" if lines and words.splitlines()[0] != heading else words


def paragraphs(typed: str) -> list[str]:
    """A whole text, cut at its empty lines. RefusalError for more parts than can be numbered."""
    found = [_squeezed(part) for part in re.split(r"\n\s*\n", typed) if part.strip()]
    if len(found) > MOST_PARTS:
        raise RefusalError(f"{len(found)} parts; expected {MOST_PARTS} at most", "letter_parts", most=MOST_PARTS)
    return found


def _squeezed(words: str) -> str:
    return "\n".join(" ".join(line.split()) for line in words.splitlines() if line.strip())


def on_signed(talk: StaffTalk, person_id: str, number: str) -> None:
    """Yes: the files, if it is still this draft that is open and it has a closing line."""
    facts = talk.dialogue.facts
    if talk.dialogue.flow != FLOW or (facts["person"], facts["number"]) != (person_id, number) or not facts["closing"]:
        talk.say("therapist.old_button")
        return
    person = patient(talk, person_id, "ask")
    audit(talk.work, talk.staff, str(facts["kind"]), person, "files")
    clinic = talk.work.uow.clinics.get()
    made = {"clinic": clinic.name if clinic else "", "made": local_date(talk.work.now, talk.staff.zone)}
    words = {name: facts[name] for name in ("kind", "parts", "closing")}
    talk.nothing_open()
    say_of(talk, person, "therapist.letter.text", **words, **made)
    say_of(talk, person, "therapist.letter.pdf", **words, **made, at=talk.work.now)
