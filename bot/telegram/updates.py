"""Updates of the service read into what a person did; and long texts cut into pieces that it takes."""

import datetime as dt
import json
import re
from collections.abc import Mapping
from typing import Any, Final, TypeGuard

from bot.ports import Came, Incoming
from core.records import Update


def units(text: str) -> int:
    """Length in UTF-16 code units: the larger of the two countings a service may use, so never too small."""
    return len(text) + sum(character > "\uffff" for character in text)


def in_pieces(text: str, longest: int) -> list[str]:
    """Cut into pieces of at most `longest` units: at an empty line, else a line end, else a space, else hard.

    No piece is blank (a service refuses those), and only white space at a cut is dropped.
    """
    pieces: list[str] = []
    rest = text.strip()
    while units(rest) > longest:
        cut = _cut(rest, longest)
        pieces.append(rest[:cut].rstrip())
        rest = rest[cut:].lstrip()
    return [*pieces, rest] if rest else pieces


def _cut(text: str, longest: int) -> int:
    reach = longest
    while units(text[:reach]) > longest:
        reach -= max(1, (units(text[:reach]) - longest) // 2)
    for mark in ("\n\n", "\n", " "):
        # A cut in the first half would leave many tiny messages; the next finer mark is better then.
        place = text.rfind(mark, reach // 2, reach + len(mark))
        if 0 < place <= reach:
            return place
    return reach


NAME: Final = "telegram"
ALLOWED_UPDATES = ("message", "edited_message", "callback_query", "my_chat_member")

_COMMAND = re.compile(r"/([A-Za-z0-9_]{1,32})(?:@[A-Za-z0-9_]+)?(?:\s+(.*))?", re.DOTALL)
_LARGEST_CHAT = 1 << 52  # bot-api.json, Chat.id: at most 52 significant bits
# Said by the app, not by the person; a private chat has these. Everything else without words is answered.
_SERVICE = frozenset(
    {
        "boost_added", "chat_background_set", "chat_shared", "connected_website", "message_auto_delete_timer_changed",
        "passport_data", "pinned_message", "proximity_alert_triggered", "refunded_payment", "successful_payment",
        "users_shared", "web_app_data", "write_access_allowed",
    }
)

# what we cannot read, by the message's own field; bot-api.json, Message
_FILES = {
    "voice": "voice", "audio": "voice", "photo": "photo", "video": "video", "video_note": "video",
    "animation": "video", "document": "file",
}  # fmt: skip

Json = Mapping[str, Any]


def parse(payload: object, received_at: dt.datetime) -> Incoming | None:
    """What came, or None for anything that is not one person in a private chat.

    `received_at` stands in where the service gives no time: a tap carries none. The words under a picture are read as
    text, since they may tell of danger.
    """
    update = _object(payload)
    if message := _object(update.get("message")):
        return _message(message, received_at)
    if message := _object(update.get("edited_message")):
        words = _words(message)
        return _incoming(Came.EDIT, message, received_at, time="edit_date", text=words) if words else None
    if query := _object(update.get("callback_query")):
        return _tap(query, received_at)
    if member := _object(update.get("my_chat_member")):
        status = _object(member.get("new_chat_member")).get("status")
        came = {"kicked": Came.BLOCKED, "member": Came.UNBLOCKED}.get(status if isinstance(status, str) else "")
        return _incoming(came, member, received_at) if came else None
    return None


def parse_update(update: Update) -> Incoming | None:
    """A stored update as something a person did."""
    return parse(json.loads(update.payload), update.received_at)


def update_id(payload: object) -> int | None:
    """The update's number, or None when it has none that could be stored."""
    number = _object(payload).get("update_id")
    return number if _is_int(number) and 0 <= number < 1 << 63 else None


def address_of(payload: object) -> str:
    """The chat an update belongs to, by which order is kept; "" when it has none."""
    update = _object(payload)
    for kind in ALLOWED_UPDATES:
        part = _object(update.get(kind))
        chat = _object(part.get("chat")) or _object(_object(part.get("message")).get("chat"))
        if _is_int(chat.get("id")) and abs(chat["id"]) < _LARGEST_CHAT:
            return str(chat["id"])
    return ""


def tap_id(payload: object) -> str | None:
    """What confirms a tap to the service, wherever the tap came from; None for everything else."""
    number = _object(_object(payload).get("callback_query")).get("id")
    return number if isinstance(number, str) and number else None


def _message(message: Json, received_at: dt.datetime) -> Incoming | None:
    words, file = _words(message), next((kind for name, kind in _FILES.items() if name in message), "")
    if not words:
        said = not _SERVICE.intersection(message)
        return _incoming(Came.OTHER, message, received_at, file=file) if said else None
    if found := _COMMAND.fullmatch(words.strip()):
        rest = (found[2] or "").strip()
        return _incoming(Came.COMMAND, message, received_at, text=rest, command=found[1].lower(), file=file)
    return _incoming(Came.TEXT, message, received_at, text=words, file=file)


def _tap(query: Json, received_at: dt.datetime) -> Incoming | None:
    message = _object(query.get("message"))
    data = query.get("data")
    if not isinstance(data, str) or not isinstance(query.get("id"), str):
        return None
    # The message under the button is ours and so is its sender; who tapped stands beside it.
    facts = {"chat": message.get("chat"), "message_id": message.get("message_id"), "from": query.get("from")}
    return _incoming(Came.TAP, facts, received_at, data=_clean(data))


def _incoming(came: Came, facts: Json, received_at: dt.datetime, *, time: str = "date", **more: str) -> Incoming | None:
    chat, sender = _object(facts.get("chat")), _object(facts.get("from"))
    if chat.get("type") != "private" or not _is_int(chat.get("id")) or not 0 < chat["id"] < _LARGEST_CHAT:
        return None
    language, number = sender.get("language_code"), facts.get("message_id")
    return Incoming(
        came=came,
        channel=NAME,
        address=str(chat["id"]),
        at=_moment(facts.get(time), received_at),
        message_id=str(number) if _is_int(number) else None,
        name=" ".join(_clean(part) for key in ("first_name", "last_name") if isinstance(part := sender.get(key), str)),
        language=_clean(language) if isinstance(language, str) else None,
        **more,
    )


def _words(message: Json) -> str:
    for field in ("text", "caption"):
        if isinstance(words := message.get(field), str) and words.strip():
            return _clean(words)
    return ""


def _clean(text: str) -> str:
    """JSON allows lone surrogates and NUL; no database and no encoder does."""
    whole = text.encode("utf-16", "surrogatepass").decode("utf-16", "replace")
    return whole.replace("\x00", "\ufffd")


def _moment(seconds: object, otherwise: dt.datetime) -> dt.datetime:
    if not _is_int(seconds) or not 0 < seconds < 1 << 35:
        return otherwise
    return dt.datetime.fromtimestamp(seconds, dt.UTC)


def _object(value: object) -> Json:
    return value if isinstance(value, Mapping) else {}


def _is_int(value: object) -> TypeGuard[int]:
    return isinstance(value, int) and not isinstance(value, bool)
