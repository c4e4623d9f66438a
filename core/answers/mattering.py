"""Of the words that were not read, those that somebody should look at: chatter stays in the record alone."""

from core.answers.ear import load
from core.answers.languages import readable
from core.answers.lexicon import Lexicon
from core.answers.reading import read
from core.answers.understand import lexicon_of, understand


def mattering(words: str, language: str) -> str:
    """The lines of an evening's unread words that may matter, as they stand; '' when none does.

    A line does that an ear hears anything in, however faintly, that names something a therapist weighs (`topics` of
    the language), or that is in a language that cannot be read.
    """
    lexicon = lexicon_of(language)
    return "\n".join(line for line in words.splitlines() if _matters(line, language, lexicon))


def _matters(line: str, language: str, lexicon: Lexicon) -> bool:
    if not readable(line, lexicon) or any(token.text in lexicon.topics for token in read(line, lexicon)):
        return True
    heard, ear = understand(line, language), load("en")
    faintly = ear is not None and ear.hear(line).danger >= ear.agree
    return faintly or bool(heard.flag or heard.maybe or heard.complaint)
