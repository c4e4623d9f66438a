"""Of the words that were not read, those that somebody should look at: chatter stays in the record alone."""

from collections.abc import Sequence

from core.answers.ear import load
from core.answers.languages import readable
from core.answers.lexicon import Lexicon
from core.answers.reading import read
from core.answers.understand import lexicon_of, understand
from core.answers.unread import BETWEEN


def mattering(words: str, language: str, told: Sequence[str] = ()) -> str:
    """The lines of an evening's unread words that may matter, as they stand; '' when none does.

    A line does that an ear hears anything in, however faintly, that names something a therapist weighs (`topics` of
    the language), or that is in a language that cannot be read. What stands in one of the texts `told` is left out.
    """
    lexicon = lexicon_of(language)
    lines = [line for line in words.splitlines() if not any(_parts_of(line, text) for text in told)]
    return "\n".join(line for line in lines if _matters(line, language, lexicon))


def _parts_of(line: str, text: str) -> bool:
    return all(run in text for run in line.split(BETWEEN))


def _matters(line: str, language: str, lexicon: Lexicon) -> bool:
    if not readable(line, lexicon) or any(token.text in lexicon.topics for token in read(line, lexicon)):
        return True
    heard, ear = understand(line, language), load("en")
    faintly = ear is not None and ear.hear(line).danger >= ear.agree
    return faintly or bool(heard.flag or heard.maybe or heard.complaint)
