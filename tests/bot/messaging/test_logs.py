"""What a log may show: a whole exchange at the most talkative level, searched for everything that must not be there."""

import asyncio
import io
import json
import logging
from collections.abc import Iterator
from urllib.parse import quote

import pytest

from bot.messaging.delivery import Delivery
from bot.messaging.intake import Intake
from bot.messaging.pace import Bucket, Pace
from bot.messaging.poller import Poller
from bot.ports import Rendered
from bot.run.in_store import in_thread
from bot.run.logs import set_up, trail
from bot.telegram import build_bot, greet
from bot.telegram.channel import TelegramChannel
from core.errors import SettingsError
from core.records import Button, Outgoing, Priority
from core.store import SqlStore
from tests.bot.messaging.world import Clock
from tests.builders import a_message, a_person
from tests.standin import Answer, DropAfter, StandIn, forbidden, refusal, slow_down, trouble
from tests.standin.server import TOKEN

SAID = "my wrist went numb tonight"
WROTE = "Tomorrow: four holds of forty seconds"


@pytest.fixture
def written() -> Iterator[io.StringIO]:
    """Everything the log says at DEBUG; the former set-up comes back afterwards."""
    root, stream = logging.getLogger(), io.StringIO()
    level, levels = root.level, {name: logging.getLogger(name).level for name in logging.root.manager.loggerDict}
    handler = set_up("DEBUG", stream=stream)
    yield stream
    root.removeHandler(handler)
    root.setLevel(level)
    for name in logging.root.manager.loggerDict:
        logging.getLogger(name).setLevel(levels.get(name, logging.NOTSET))


async def test_no_token_no_answer_and_no_name_reaches_the_log_of_a_whole_exchange(
    standin: StandIn, sqlite_store: SqlStore, clock: Clock, written: io.StringIO
) -> None:
    bot = build_bot(TOKEN, standin.api)
    await greet(bot, [("help", "What I can do")])
    channel = TelegramChannel(bot)
    ines = standin.person("Ines Quintanilha")
    wake = asyncio.Event()
    poller = Poller(bot, Intake(sqlite_store, in_thread, channel.confirm_tap, wake, clock))

    async def render(message: Outgoing) -> Rendered:
        if message.kind == "broken":
            raise ValueError(f"cannot word {WROTE}")
        return Rendered(WROTE, ((Button("Ok", "ok"),),), picture=b"PNG" if message.kind == "picture" else None)

    def put(kind: str, store: SqlStore = sqlite_store) -> None:
        person = a_person(id="p1", channel="telegram", address=str(ines.chat), name=ines.first_name)
        with store.writing() as unit:
            unit.outbox.put(a_message(person, kind=kind, at=clock(), priority=Priority.REPLY))
            unit.commit()

    echo = json.dumps({"ok": True, "result": {"text": WROTE}}).encode()[:-1]  # cut short: cannot be parsed
    standin.troubles.add("sendMessage", DropAfter(), refusal(), slow_down(1), trouble(), forbidden(), Answer(200, echo))
    standin.troubles.add("sendMessage", Answer(200, b'{"ok":true,"result":{"text":"' + WROTE.encode() + b'"}}'))
    standin.troubles.add("getUpdates", Answer(200, b"not JSON: " + SAID.encode()), trouble())
    delivery = Delivery(sqlite_store, {"telegram": channel}, render, Pace(Bucket()), clock, in_thread, owner="one")
    for kind in ["answer"] * 9 + ["broken", "picture"]:
        put(kind)
    stop = asyncio.Event()
    polling = asyncio.create_task(poller.run(stop))
    ines.says(SAID)
    ines.edits(1, SAID)
    ines.taps_data(1, "1:c7:p4")
    for _ in range(14):
        await delivery.drain_once()
        clock.pass_by(400)
        delivery._bucket = delivery._pace.bucket = Bucket.unlimited()
    await asyncio.wait_for(wake.wait(), 10)
    stop.set()
    await polling
    await bot.shutdown()

    log = written.getvalue()
    assert log.count("\n") > 20, "the exchange must have left lines to search"
    for phrase in ("message sent", "delivery unknown", "not delivered", "message given up", "updates stored"):
        assert phrase in log
    for secret in (TOKEN, TOKEN.split(":")[1], "numb", "forty", "Ines", "Quintanilha", "/bot7", "c7:p4"):
        assert secret not in log, secret


async def test_a_refused_token_is_not_shown_even_with_its_traceback(standin: StandIn, written: io.StringIO) -> None:
    wrong = "7000000009:AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"
    bot = build_bot(wrong, standin.api)

    try:
        await greet(bot)
    except SettingsError:
        logging.getLogger("bot").exception("start failed")
    await bot.shutdown()

    assert "start failed" in written.getvalue()
    assert wrong.split(":")[1] not in written.getvalue()


def test_every_event_is_one_line_with_its_fields(written: io.StringIO) -> None:
    logging.getLogger("bot.x").info("two\nlines", extra={"outbox": 7, "why": "a\r\nb\u2028c"})

    (line,) = written.getvalue().splitlines()
    assert "INFO bot.x two | lines outbox=7 why=a | b | c" in line


def test_secrets_are_removed_wherever_they_stand(written: io.StringIO) -> None:
    root = logging.getLogger()
    root.removeHandler(set_up("DEBUG", secrets=["k3y/with+signs", ""], stream=written))
    handler = set_up("DEBUG", secrets=["k3y/with+signs"], stream=written)
    log = logging.getLogger("bot.x")

    log.info("message %s", f"https://example.org/bot{TOKEN}/getMe")
    log.info("field", extra={"url": TOKEN, "key": "k3y/with+signs", "quoted": quote("k3y/with+signs", safe="")})
    log.info("quoted token %s", quote(TOKEN))
    try:
        raise ValueError(TOKEN)
    except ValueError:
        log.exception("oops")
    root.removeHandler(handler)

    text = written.getvalue()
    assert TOKEN.split(":")[1] not in text
    assert "k3y" not in text
    assert "ValueError at test_logs.py:" in text


def test_setting_up_twice_does_not_double_the_lines(written: io.StringIO) -> None:
    handler = set_up("INFO", stream=written)
    logging.getLogger("bot.x").info("once")
    logging.getLogger("telegram.Bot").info("chat")
    logging.getLogger("httpx").info("chat")
    logging.getLogger().removeHandler(handler)

    assert written.getvalue().count("once") == 1
    assert "chat" not in written.getvalue()


def test_a_trail_says_where_and_not_what() -> None:
    try:
        json.loads("{my wrist")
    except ValueError as error:
        found = trail(error)

    assert found.startswith("JSONDecodeError at decoder.py:")
    assert "wrist" not in found


def test_as_json_each_event_is_one_object_with_the_same_things_left_out() -> None:
    stream, root = io.StringIO(), logging.getLogger()
    level = root.level
    handler = set_up("INFO", secrets=[TOKEN], stream=stream, as_json=True)
    try:
        logging.getLogger("bot.test").warning("sent", extra={"id": 7, "why": f"see {TOKEN}\nhere"})
        try:
            raise ValueError(SAID)
        except ValueError:
            logging.getLogger("bot.test").exception("failed")
    finally:
        root.removeHandler(handler)
        root.setLevel(level)
    first, second = (json.loads(line) for line in stream.getvalue().splitlines())
    assert (first["event"], first["level"], first["logger"], first["id"]) == ("sent", "WARNING", "bot.test", 7)
    assert first["why"] == "see ***\nhere"
    assert second["trail"].startswith("ValueError at test_logs.py:")
    assert SAID not in stream.getvalue()
