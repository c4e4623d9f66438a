"""Danger words of somebody whose rows cannot be worked with: the advice goes out, and somebody is told."""

import pytest

import bot.messaging.inbox
from core.errors import StoreError
from tests.bot.conversation.chat import Clinics
from tests.bot.conversation.staff.desk import Desk

CHEST = "crushing pain in my chest and down the arm"


def _fails(*_: object, **__: object) -> None:
    raise StoreError("a sealed text of this person cannot be opened")


def test_danger_that_cannot_be_handled_is_answered_and_told_at_once(
    clinic: Clinics, monkeypatch: pytest.MonkeyPatch
):
    anna, ben = Desk(clinic, "anna", lead=True, therapist=False), Desk(clinic, "ben")
    (cook,) = ben.has_many("Pastry cook")
    monkeypatch.setattr(bot.messaging.inbox, "handle", _fails)

    assert cook.types(CHEST) == ["danger.unhandled"]
    assert "passing your words on" in cook.last()
    assert CHEST in ben.last()
    assert not anna.read()
    cook.types("4, all")
    assert [kind for _, message, _ in clinic.delivered if (kind := message.kind) == "therapist.unhandled"] != []
    assert len(ben.read()) == 1  # what is no danger tells nobody


def test_where_even_the_person_cannot_be_read_the_leads_are_told(clinic: Clinics, monkeypatch: pytest.MonkeyPatch):
    anna, ben = Desk(clinic, "anna", lead=True, therapist=False), Desk(clinic, "ben")
    (cook,) = ben.has_many("Pastry cook")
    monkeypatch.setattr(bot.messaging.inbox, "handle", _fails)
    monkeypatch.setattr("core.store.people.People.at", _fails)

    assert cook.types(CHEST) == ["danger.unhandled"]
    assert CHEST in anna.last()
    assert not ben.read()
