"""A message that cannot be worded loses nothing of what it was about, and somebody reads what to do."""

import logging
from dataclasses import replace

import pytest

from bot.wording.catalogue import WordingError
from bot.wording.messages import in_words
from core.model import NoticeKind
from core.records import Facts, Worded
from tests.bot.conversation.chat import Clinics, Patient
from tests.bot.conversation.staff.desk import Desk


def breaks(clinic: Clinics, *kinds: str) -> None:
    """The texts of these kinds are missing from the catalogue."""

    def worded(kind: str, language: str, facts: Facts) -> Worded:
        if kind in kinds:
            raise WordingError(f"no text for {kind!r}")
        return in_words(kind, language, facts)

    clinic.app = replace(clinic.app, wording=worded)


def test_an_answer_is_kept_and_an_apology_with_the_emergency_sentence_goes_out(
    clinic: Clinics, patient: Patient, caplog: pytest.LogCaptureFixture
) -> None:
    breaks(clinic, "evening.outcome")
    clinic.live_to(0, "19:05")

    with caplog.at_level(logging.ERROR):
        assert patient.types("4, did all") == ["evening.outcome"]

    assert (patient.check_in(0).pain, patient.check_in(0).sets_done) == (4, 4)
    assert patient.last().startswith("I noted that.")
    assert patient.last().endswith("Call 112 if your life may be in danger.")
    (logged,) = [each for each in caplog.records if "cannot be worded" in each.message]
    assert logged.kind == "evening.outcome"  # type: ignore[attr-defined]
    assert logged.exc_info


def test_danger_stops_the_course_and_reaches_the_therapist_in_the_persons_own_words(clinic: Clinics) -> None:
    ben = Desk(clinic, "ben")
    (cook,) = ben.has_many("Pastry cook")
    breaks(clinic, "danger", "therapist.notice")
    clinic.live_to(0, "19:05")

    assert cook.types("my fingers have gone numb") == ["danger"]

    assert "Call 112" in cook.last()
    assert cook.course().episode.paused_for
    assert clinic.notices() == [NoticeKind.DANGER.value]
    assert "Pastry cook" in ben.last()
    assert "my fingers have gone numb" in ben.last()
    assert ben.taps(next(iter(ben.buttons().values()))) == ["therapist.person"]
