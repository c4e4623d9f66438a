"""What every catalogue of texts must keep to; each breach is one sentence."""

import re
import string
from collections.abc import Iterator
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import read_po

from core.programme.reading_level import Reading, hard_words, read

FOLDER = Path(__file__).parents[1] / "bot" / "locale"
NOT_FOR_PATIENTS = ("cli.", "log.", "notice.", "therapist.")
ENTRY_GRADE, WHOLE_GRADE, LONG = 6.9, 6.0, 12  # a sixth-grade level; shorter texts have no stable grade
MARKUP = re.compile(r"</?[A-Za-z][^<>]*>|&#?\w+;")


def load(path: Path) -> Catalog:
    with path.open("rb") as file:
        return read_po(file, locale=path.parts[-3], abort_invalid=True)


def texts(message: Message) -> list[str]:
    """The text, or every plural form of it."""
    return [message.string] if isinstance(message.string, str) else list(message.string)


def key(message: Message) -> str:
    return message.id if isinstance(message.id, str) else message.id[0]


def entries(catalogue: Catalog) -> Iterator[Message]:
    return (message for message in catalogue if message.id)


def placeholders(text: str) -> set[str]:
    """Names in braces. Raises ValueError for braces that do not match."""
    return {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}


def faults(catalogue: Catalog) -> list[str]:
    """Entries that are empty, fuzzy or obsolete, hold markup, or cannot be filled in."""
    found = [f"{name}: obsolete; take it out" for name in catalogue.obsolete]
    for message in entries(catalogue):
        name = key(message)
        if message.fuzzy:
            found.append(f"{name}: fuzzy; check it and take the mark off")
        for text in texts(message):
            if not text.strip():
                found.append(f"{name}: empty")
            if markup := MARKUP.search(text):
                found.append(f"{name}: markup {markup[0]!r}; messages are plain text")
            try:
                if "" in placeholders(text) or any(found_name.isdigit() for found_name in placeholders(text)):
                    found.append(f"{name}: a placeholder without a name")
            except ValueError as error:
                found.append(f"{name}: {error}")
    return found


def differences(translation: Catalog, english: Catalog) -> list[str]:
    """Entries or placeholders that one of two catalogues lacks. A plural form may leave names out."""
    ours, theirs = ({key(message): message for message in entries(cat)} for cat in (english, translation))
    found = [f"{name}: not translated" for name in ours.keys() - theirs.keys()]
    found += [f"{name}: not in the English catalogue" for name in theirs.keys() - ours.keys()]
    for name in ours.keys() & theirs.keys():
        expected = set().union(*map(placeholders, texts(ours[name])))
        given = set().union(*map(placeholders, texts(theirs[name])))
        if expected != given:
            found.append(f"{name}: placeholders {sorted(given)} instead of {sorted(expected)}")
    return sorted(found)


def hard_to_read(catalogue: Catalog) -> list[str]:
    """Patients' texts above the grade, and the whole if it is, with the words to replace."""
    found, whole, worst = [], Reading(0, 0, 0), []
    for message in entries(catalogue):
        if key(message).startswith(NOT_FOR_PATIENTS):
            continue
        for text in texts(message):
            reading = read(text)
            if reading.words < LONG:
                continue
            whole += reading
            worst.append((reading.grade, key(message)))
            if reading.grade > ENTRY_GRADE:
                rate = reading.words / reading.sentences
                found.append(
                    f"{key(message)}: grade {reading.grade:.1f}, {rate:.0f} words a sentence; "
                    f"long words: {', '.join(f'{word} {count}' for word, count in hard_words(text)) or 'none'}"
                )
    if whole.words and whole.grade > WHOLE_GRADE:
        hardest = ", ".join(f"{name} {grade:.1f}" for grade, name in sorted(worst, reverse=True)[:10])
        found.append(f"all together: grade {whole.grade:.2f}, at most {WHOLE_GRADE}; the hardest: {hardest}")
    return found
