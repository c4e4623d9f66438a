from dataclasses import replace
from typing import Any

import pytest

from bot.conversation import danger, evening, sides
from core.answers import understand
from core.store import SqlStore
from core.understanding import Question, Understanding
from tests.bot.conversation.chat import Clinics, Patient


class Ear:
    """Understands as the program does, but for texts in which a test says what is heard."""

    def __init__(self) -> None:
        self._heard: dict[str, dict[str, Any]] = {}

    def hears(self, words: str, **fields: Any) -> None:
        self._heard[words] = fields

    def __call__(
        self, text: str, language: str = "en", question: Question | str = Question.BOTH, prescribed: int = 4
    ) -> Understanding:
        fields = next((fields for words, fields in self._heard.items() if words in text), None)
        if fields is None:
            return understand(text, language, question, prescribed)
        rest = text
        for words in self._heard:
            rest = rest.replace(words, "")
        return replace(understand(rest, language, question, prescribed), **{"flag": None, "urgency": None} | fields)


@pytest.fixture
def clinic(sqlite_store: SqlStore) -> Clinics:
    """A clinic on SQLite; what differs between databases is tested with the store and the use cases."""
    return Clinics(sqlite_store)


@pytest.fixture
def patient(clinic: Clinics) -> Patient:
    """Somebody enrolled on the first morning, asked at seven each evening."""
    return Patient(clinic).enrols()


@pytest.fixture
def ear(monkeypatch: pytest.MonkeyPatch) -> Ear:
    """What else is heard in a text, whatever the lists and the model of today make of it."""
    hears = Ear()
    for module in (danger, evening, sides):
        monkeypatch.setattr(module, "understand", hears)
    return hears
