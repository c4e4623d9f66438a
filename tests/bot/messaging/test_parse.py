"""Reading raw updates. Shapes follow the published description; the stand-in checks that it emits only such."""

import datetime as dt
import json
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.ports import Came, Incoming
from bot.telegram.channel import parse
from bot.telegram.updates import address_of, tap_id, update_id
from tests.standin import Person, StandIn
from tests.standin.fixtures import NOW

LATER = NOW + dt.timedelta(minutes=3)
CHAT = 500_000_001


def parsed(do: Callable[[Person], Any], language: str | None = "pt-BR") -> Incoming | None:
    """What the update of one deed of a person is read as."""
    server = StandIn(lambda: NOW)
    do(server.person("Ines", language=language))
    assert address_of(server.waiting[-1]) == str(CHAT)
    return parse(json.loads(json.dumps(server.waiting[-1])), LATER)


def came(**expected: Any) -> Incoming:
    usual = {"channel": "telegram", "address": str(CHAT), "at": NOW, "name": "Ines", "language": "pt-BR"}
    return Incoming(**{**usual, "message_id": "1", **expected})


def test_a_typed_answer_is_text() -> None:
    assert parsed(lambda person: person.says("4, did all")) == came(came=Came.TEXT, text="4, did all")


@pytest.mark.parametrize(
    ("typed", "command", "rest"),
    [
        ("/start", "start", ""),
        ("/start aZ_-09", "start", "aZ_-09"),
        ("/Today@fennel_lane_bot", "today", ""),
        ("/start@fennel_lane_bot  code ", "start", "code"),
        ("/note line one\nline two", "note", "line one\nline two"),
    ],
)
def test_a_command_is_parted_from_what_follows(typed: str, command: str, rest: str) -> None:
    assert parsed(lambda person: person.says(typed)) == came(came=Came.COMMAND, command=command, text=rest)


@pytest.mark.parametrize("typed", ["/", "4/10", "/ 4", "/päin", "// 4", " 5"])
def test_a_slash_alone_makes_no_command(typed: str) -> None:
    assert parsed(lambda person: person.says(typed)) == came(came=Came.TEXT, text=typed)


def test_a_change_says_which_message_and_when() -> None:
    change = parsed(lambda person: person.edits(17, "6, did all"))

    assert change == came(came=Came.EDIT, text="6, did all", message_id="17")


def test_a_tap_names_the_person_and_not_the_bot_whose_message_it_is_under() -> None:
    tap = parsed(lambda person: person.taps_data(9, "1:c7:p4"))

    assert tap == came(came=Came.TAP, data="1:c7:p4", message_id="9", at=LATER)


def test_blocking_and_coming_back_are_seen() -> None:
    assert parsed(lambda person: person.blocks()) == came(came=Came.BLOCKED, message_id=None)
    assert parsed(lambda person: person.unblocks()) == came(came=Came.UNBLOCKED, message_id=None)


def test_words_under_a_picture_are_read_since_they_may_tell_of_danger() -> None:
    def sends(person: Person) -> int:
        return person.sends(caption="my fingers are numb", photo=[])

    assert parsed(sends) == came(came=Came.TEXT, text="my fingers are numb", file="photo")


def test_what_cannot_be_read_is_known_by_its_kind_with_words_and_without() -> None:
    # Bot API, Message: the fields voice, audio, photo, video, video_note, animation and document
    kinds = {
        "voice": "voice", "audio": "voice", "photo": "photo", "video": "video", "video_note": "video",
        "animation": "video", "document": "file", "sticker": "", "location": "",
    }  # fmt: skip
    message = {"message_id": 3, "date": int(NOW.timestamp()), "chat": {"id": CHAT, "type": "private"}}
    for name, file in kinds.items():
        alone = parse({"update_id": 1, "message": message | {name: {"file_id": "f"}}}, LATER)
        beside = parse({"update_id": 1, "message": message | {name: {"file_id": "f"}, "caption": "4, all"}}, LATER)
        assert alone
        assert beside
        assert (alone.came, alone.file, beside.came, beside.file) == (Came.OTHER, file, Came.TEXT, file), name


def test_a_sticker_is_other_and_what_the_app_says_itself_is_nothing() -> None:
    message = {"message_id": 3, "date": int(NOW.timestamp()), "chat": {"id": CHAT, "type": "private"}}

    sticker = parse({"update_id": 1, "message": message | {"sticker": {"emoji": "x"}}}, LATER)
    pinned = parse({"update_id": 1, "message": message | {"pinned_message": message}}, LATER)

    assert sticker is not None
    assert (sticker.came, sticker.text, sticker.name, sticker.language) == (Came.OTHER, "", "", None)
    assert pinned is None


@pytest.mark.parametrize("number", [-100_1234, 1234])
@pytest.mark.parametrize("kind", ["group", "supergroup", "channel", "sender", "", None, 3])
def test_only_private_chats_are_listened_to(kind: object, number: int) -> None:
    chat = {"id": number, "type": kind}
    text = {"message_id": 1, "date": 1, "chat": chat, "from": {"id": 5, "first_name": "Ines"}, "text": "4"}

    tap = {"id": "1", "data": "x", "message": text}
    for update in ({"message": text}, {"edited_message": text}, {"callback_query": tap}, {"channel_post": text}):
        assert parse(update, LATER) is None


def test_an_old_message_under_a_tap_may_have_no_content_left() -> None:
    gone = {"chat": {"id": CHAT, "type": "private"}, "message_id": 9, "date": 0}  # bot-api: InaccessibleMessage
    query = {"id": "77", "from": {"id": CHAT, "is_bot": False, "first_name": "Ines"}, "message": gone, "data": "old"}

    tap = parse({"update_id": 1, "callback_query": query}, LATER)

    assert tap == came(came=Came.TAP, data="old", message_id="9", at=LATER, language=None)


def test_half_characters_and_nul_become_something_every_database_takes() -> None:
    text = parsed(lambda person: person.says(json.loads('"4 \\ud83d \\ud83d\\udcaa \\u0000 done"')))

    assert text is not None
    assert text.text == "4 \ufffd 💪 \ufffd done"
    text.text.encode()


SIMPLE = st.none() | st.booleans() | st.integers() | st.floats()
JSON = st.recursive(
    SIMPLE | st.text(), lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner), max_leaves=20
)
FIELDS = st.sampled_from(
    ["message", "edited_message", "callback_query", "my_chat_member", "chat", "from", "text", "caption", "id", "date",
     "data", "type", "message_id", "edit_date", "new_chat_member", "status", "first_name", "language_code", "update_id"]
)  # fmt: skip
NEARLY = st.recursive(
    SIMPLE | st.sampled_from(["private", "kicked", "4", "/start", "\ud800", ""]),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(FIELDS, inner),
    max_leaves=30,
)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(st.one_of(JSON, NEARLY))
def test_no_json_at_all_makes_the_reader_fail(payload: Any) -> None:
    incoming = parse(payload, LATER)

    assert incoming is None or isinstance(incoming, Incoming)
    assert isinstance(address_of(payload), str)
    assert tap_id(payload) is None or isinstance(tap_id(payload), str)
    assert update_id(payload) is None or 0 <= update_id(payload) < 1 << 63  # type: ignore[operator]


def spots(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every place within a JSON value."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [path, *(spot for key, part in inner for spot in spots(part, (*path, key)))]


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_a_real_update_with_one_thing_wrong_never_fails_and_never_changes_the_person(data: st.DataObject) -> None:
    server = StandIn(lambda: NOW)
    ines = server.person("Ines")
    data.draw(st.sampled_from([
        lambda: ines.says("/start x"), lambda: ines.says("4"), lambda: ines.edits(1, "5"),
        lambda: ines.taps_data(1, "d"), lambda: ines.blocks(),
    ]))()  # fmt: skip
    update = server.waiting[0]
    *path, last = data.draw(st.sampled_from(spots(update)[1:]))
    place = update
    for key in path:
        place = place[key]
    place[last] = data.draw(JSON.filter(lambda value: not isinstance(value, int) or value < 0))

    incoming = parse(update, LATER)

    assert incoming is None or incoming.address == str(CHAT)
