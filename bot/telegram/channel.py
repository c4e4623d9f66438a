"""Messages out over Telegram, and its errors told by what they mean for one message."""

import datetime as dt
import json
import re
import warnings
from collections.abc import Awaitable, Callable, Coroutine, Mapping
from functools import partial
from typing import Any

from telegram import Bot
from telegram.error import (
    BadRequest,
    ChatMigrated,
    EndPointNotFound,
    Forbidden,
    InvalidToken,
    RetryAfter,
    TelegramError,
)

from bot.ports import (
    DeliveryUnknown,
    NotDelivered,
    Refused,
    Rendered,
    TooFast,
    Unreachable,
)
from bot.telegram.transport import AskedToWait, NotSent, NotTaken
from bot.telegram.updates import NAME, in_pieces, parse, units
from core.errors import HoldlowerError, SettingsError
from core.records import Button

__all__ = ["NAME", "TelegramChannel", "meaning", "parse"]

LONGEST_TEXT = 4096  # bot-api.json, sendMessage.text
LONGEST_CAPTION = 1024  # bot-api.json, sendPhoto.caption
_UNCHANGED = re.compile("message is not modified", re.IGNORECASE)  # what the service answers to the same once more
NO_PREVIEW = json.dumps({"is_disabled": True})

Turn = Callable[[str], Awaitable[float]]  # see bot.messaging.pace.Pace
Call = Callable[..., Coroutine[Any, Any, object]]


class TelegramChannel:
    """Sends over one bot. `turn` is awaited before each further call of a message that needs several.

    It returns 0.0 when the call may be made, or the seconds that it would have to wait too long.
    """

    name = NAME

    def __init__(self, bot: Bot, turn: Turn | None = None) -> None:
        self._bot = bot
        self._turn = turn

    async def send(self, address: str, message: Rendered) -> str | None:
        """Send one message to a chat; returns the id of its last part, which carries the buttons.

        Raises a DeliveryError by meaning, or SettingsError when the service does not accept the token. Once a
        first part has arrived, a failure of a later one is DeliveryUnknown: another try repeats the whole.
        """
        if not address.lstrip("-").isdecimal():
            raise Refused("the chat's address is not a number")
        sent: str | None = None
        for place, call in enumerate(self._calls(int(address), message)):
            if place and self._turn is not None and (wait := await self._turn(address)):
                raise DeliveryUnknown(f"part {place + 1} would have to wait {wait:g} s after part {place} arrived")
            try:
                sent = _number(await call())
            except TelegramError as error:
                meant = meaning(error)
                if place and isinstance(meant, NotDelivered | TooFast):
                    meant = DeliveryUnknown(f"part {place + 1} failed after part {place} had arrived: {meant}")
                raise meant from None
        return sent

    async def edit(self, address: str, message_id: str, message: Rendered) -> None:
        """Change the text and buttons of a message. Raises like `send`; Refused where it is gone."""
        form = {"chat_id": address, "message_id": message_id, "text": message.text, "link_preview_options": NO_PREVIEW}
        if message.buttons:
            form["reply_markup"] = _keyboard(message.buttons)
        try:
            await self._bot.do_api_request("edit__message_text", form)  # spelt as in _say
        except TelegramError as error:
            if not _UNCHANGED.search(error.message):
                raise meaning(error) from None

    async def confirm_tap(self, tap_id: str) -> None:
        """Tell the service that a tap has been seen. Raises like `send`; an old tap is Refused and no harm."""
        try:
            await self._bot.answer_callback_query(tap_id)
        except TelegramError as error:
            raise meaning(error) from None

    def _calls(self, chat: int, message: Rendered) -> list[Call]:
        """The calls that make up one message, in order; a short text stands under the picture or document."""
        bot, calls = self._bot, list[Call]()
        text = message.text.strip()
        if message.picture is not None:
            picture = partial(bot.send_photo, chat, message.picture, filename="picture.png")
            calls.append(partial(picture, protect_content=not message.may_be_kept))
        if message.moving is not None:
            calls.append(partial(bot.send_animation, chat, message.moving, filename="moving.gif", protect_content=True))
        if message.voice is not None:
            calls.append(partial(bot.send_voice, chat, message.voice, filename="clip.ogg", protect_content=True))
        if message.document is not None:
            name, content = message.document
            document = partial(bot.send_document, chat, content, filename=name)  # files are there to be kept
            calls.append(partial(document, disable_content_type_detection=True))
        if calls and text and units(text) <= LONGEST_CAPTION:
            calls[-1] = partial(calls[-1], caption=text)
        else:
            calls += _texts(bot, chat, text)
        for more in message.further:
            calls += _texts(bot, chat, more)
        if message.copied is not None:
            calls.append(partial(_copy, bot, chat, *map(int, message.copied)))
        if not calls:
            raise Refused("the message is empty: neither text nor picture nor document")
        if message.buttons:
            calls[-1] = partial(calls[-1], reply_markup=_keyboard(message.buttons))
        return [partial(call, disable_notification=True) for call in calls] if message.silent else calls


def _texts(bot: Bot, chat: int, text: str) -> list[Call]:
    pieces = in_pieces(text, LONGEST_TEXT)
    return [partial(_say, bot, chat, piece) for piece in pieces]


async def _say(
    bot: Bot, chat: int, text: str, reply_markup: str | None = None, disable_notification: bool = False
) -> object:
    """A text, past the library's objects for each button and for the echo: they cost half of all sending."""
    form = {"chat_id": str(chat), "text": text, "link_preview_options": NO_PREVIEW}
    if reply_markup is not None:
        form["reply_markup"] = reply_markup
    if disable_notification:
        form["disable_notification"] = "true"
    # the library turns this into sendMessage; spelt plainly it warns that a typed method exists
    return await bot.do_api_request("send__message", form)


async def _copy(bot: Bot, chat: int, from_chat: int, number: int, **more: Any) -> object:
    """Somebody's own message without who sent it; one that is gone is no failure: the text before it says so."""
    try:
        return await bot.copy_message(chat, from_chat, number, protect_content=True, **more)
    except BadRequest:
        return {}


def _number(sent: object) -> str | None:
    """The id of a message that has arrived; an echo without one is no reason to send it again."""
    number = sent.get("message_id") if isinstance(sent, Mapping) else getattr(sent, "message_id", None)
    return None if number is None else str(number)


def meaning(error: TelegramError) -> HoldlowerError:
    """What an error of the messaging library means for the call that raised it.

    The order matters: BadRequest is a NetworkError in the library, and would be tried again for ever.
    """
    if isinstance(error, InvalidToken | EndPointNotFound):
        # The library's own text holds the token.
        return SettingsError("the messaging service does not accept the bot's token: check token and base URL")
    if isinstance(error, AskedToWait):
        return TooFast(error.seconds)
    if isinstance(error, RetryAfter):
        return TooFast(_seconds(error))
    if isinstance(error, Forbidden):
        return Unreachable(f"the person cannot be reached: {error.message}")
    if isinstance(error, BadRequest | ChatMigrated):
        return Refused(f"the messaging service refuses the message: {error.message}")
    if isinstance(error, NotSent | NotTaken):
        return NotDelivered(error.message)
    return DeliveryUnknown(error.message)


def _seconds(error: RetryAfter) -> float:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the library announces that the number becomes a timedelta: both are read here
        wait = error.retry_after
    return wait.total_seconds() if isinstance(wait, dt.timedelta) else float(wait)


def _keyboard(rows: tuple[tuple[Button, ...], ...]) -> str:
    buttons = [[{"text": button.label, "callback_data": button.data} for button in row] for row in rows]
    return json.dumps({"inline_keyboard": buttons})
