"""A therapist for a trial: nobody acts for them, but what they would read is shown beside what the patient reads."""

import datetime as dt

from bot.channels import terminal
from bot.ports import Rendered
from bot.wording.catalogue import Text
from core.records import Clinic, Staff

ADDRESS = "therapist"


def stand_in(clinic: Clinic, text: Text, now: dt.datetime) -> Staff:
    """No lead, so that nothing is told anew because nobody acts; whoever comes in without an inviter is theirs."""
    return Staff(
        ADDRESS, clinic.id, terminal.NAME, ADDRESS, text("cli.demo.therapist"), lead=False, therapist=True,
        language=text.language, zone=clinic.zone, created_at=now,
    )  # fmt: skip


class BothSides:
    """The terminal of a trial: the patient's chat, and set apart from it what the stand-in reads."""

    name = terminal.NAME

    def __init__(self, patient: terminal.TerminalChannel, text: Text) -> None:
        self._patient = patient
        self._who = text("cli.try.therapist", name=text("cli.demo.therapist"))

    async def send(self, address: str, message: Rendered) -> str | None:
        """To whom it is meant."""
        if address != ADDRESS:
            return await self._patient.send(address, message)
        self._patient.aside(self._who, message)
        return None

    async def confirm_tap(self, tap_id: str) -> None:
        """Nothing waits for it here."""
