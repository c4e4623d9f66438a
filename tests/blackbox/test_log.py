"""The log of a whole evening at its most talkative, a failure included, searched for everything said and everybody."""

import io
import logging
from collections.abc import Iterator

import pytest

import bot.messaging.inbox
from bot.run.logs import set_up
from core.records import Role
from core.use_cases.joining import invite
from tests.blackbox.conftest import House, until
from tests.blackbox.test_service import answered, asked, say, tap
from tests.standin import forbidden, refusal
from tests.standin.server import TOKEN

NAME = "Quillon Ostrander"
CHAT, DESK = 730_551_904, 730_551_905
WORDS = ("perhaps four", "crackling", "crushing chest pain", "unpleasant sentence")
SENT = ("How much did your elbow", "Noted for", "holds of 30", "Call for help", "Do you agree")
NOTE = "the upholsterer from the mill"


@pytest.fixture
def log() -> Iterator[io.StringIO]:
    """Everything that any logger of the process writes; the former levels come back."""
    root, stream = logging.getLogger(), io.StringIO()
    level, levels = root.level, {name: logging.getLogger(name).level for name in logging.root.manager.loggerDict}
    handler = set_up("DEBUG", secrets=[TOKEN], stream=stream)
    yield stream
    root.removeHandler(handler)
    root.setLevel(level)
    for name in logging.root.manager.loggerDict:
        logging.getLogger(name).setLevel(levels.get(name, logging.NOTSET))


def invited(house: House, role: Role, note: str) -> str:
    code = f"K{role.value.upper()}7Q"
    with house.store.writing() as uow:
        invite(house.app.work(uow), "clinic", code, note, role=role)
        uow.commit()
    return code


def status(house: House) -> str:
    with house.store.reading() as uow:
        return next(person.status.value for person in uow.people.all())


@pytest.mark.parametrize("store_url", ["sqlite"], indirect=True)
async def test_an_evening_leaves_no_name_no_word_no_code_and_no_token_in_the_log(
    house: House, log: io.StringIO, monkeypatch: pytest.MonkeyPatch
):
    real = bot.conversation.router.handle

    def handle(work, came, *given, **named):  # an error that quotes what was said, as careless code would
        if "unpleasant" in came.text:
            raise ValueError(f"cannot handle {came.text!r} of {came.name}")
        real(work, came, *given, **named)

    monkeypatch.setattr(bot.messaging.inbox, "handle", handle)
    monkeypatch.setattr(bot.messaging.inbox, "MOST_TRIES", 1)
    desk = house.standin.person("Desk Person", chat=DESK)
    patient = house.standin.person(NAME, chat=CHAT)
    lead, code = invited(house, Role.LEAD, "Maren Vale"), invited(house, Role.PATIENT, NOTE)
    async with house.serving():
        await say(desk, f"/start {lead}")
        assert "Do you agree?" in await say(patient, f"/start {code}")
        nothing = "None of these"
        for label in ("Yes", "Yes, all of it", nothing, nothing, "No", nothing, "Right", "4", "Yes", "19:00"):
            await tap(patient, label)
        await until(lambda: "What do you want to do again" in patient.last.text)
        await asked(house, patient, 0)
        await say(patient, "perhaps four, it was crackling")
        house.standin.troubles.add("sendMessage", refusal())
        patient.says("4, did all")
        await until(lambda: "message given up" in log.getvalue())
        before = len(desk.got)
        patient.says("crushing chest pain")
        await answered(desk, before)
        patient.says("an unpleasant sentence")
        await until(lambda: "update not handled" in log.getvalue())
        await say(desk, "/caseload")
        house.standin.troubles.add("sendMessage", forbidden())
        patient.says("/today")
        await until(lambda: status(house) == "unreachable")

    written = log.getvalue()
    assert written.count("\n") > 25, "there must be lines to search"
    for phrase in ("serving", "updates stored", "message sent", "update not handled", "ValueError at test_log.py"):
        assert phrase in written, phrase
    secrets = (TOKEN, TOKEN.split(":")[1], *NAME.split(), "Maren", "Desk Person", "upholsterer", lead, code)
    for secret in (*secrets, *WORDS, *SENT, str(CHAT), str(DESK)):
        assert secret not in written, f"{secret}: {[line for line in written.splitlines() if secret in line][:2]}"
