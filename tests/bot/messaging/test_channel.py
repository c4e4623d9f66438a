"""Sending over the real library and transport to the stand-in, which checks each call against its description."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.ports import (
    DeliveryUnknown,
    Refused,
    Rendered,
    Unreachable,
)
from bot.telegram import build_bot, greet
from bot.telegram.channel import TelegramChannel
from bot.telegram.updates import in_pieces, units
from core.errors import SettingsError
from core.records import Button
from tests.standin import (
    Late,
    StandIn,
    slow_down,
)
from tests.standin.server import TOKEN

PNG = b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 40


async def test_a_text_arrives_as_written_with_its_buttons(standin: StandIn, channel: TelegramChannel) -> None:
    ines = standin.person("Ines")
    text = "Pain today? <b>0</b> & *10* _are_ [plain](x) — ０ to १०\nSecond line"
    buttons = (tuple(Button(str(n), f"1:c7:p{n}") for n in range(6)), (Button("Not today", "1:c7:no"),))

    message_id = await channel.send(str(ines.chat), Rendered(text, buttons))

    assert (ines.last.text, ines.last.labels) == (text, ["0", "1", "2", "3", "4", "5", "Not today"])
    assert message_id == str(ines.last.message_id)
    call = standin.sent("sendMessage")[0].values
    assert call["link_preview_options"] == {"is_disabled": True}
    assert "parse_mode" not in call


async def test_a_silent_message_makes_no_sound_in_any_of_its_parts(standin: StandIn, channel: TelegramChannel) -> None:
    # Bot API, sendMessage and sendPhoto, disable_notification: "Users will receive a notification with no sound"
    ines = standin.person("Ines")

    await channel.send(str(ines.chat), Rendered("Two sets are left", picture=PNG, further=("More",), silent=True))
    await channel.send(str(ines.chat), Rendered("How was the pain today?"))

    calls = [*standin.sent("sendPhoto"), *standin.sent("sendMessage")]
    assert [call.values.get("disable_notification") for call in calls] == [True, True, None]


async def test_a_message_of_somebody_is_copied_after_the_line_about_it_and_one_that_is_gone_stops_nothing(
    standin: StandIn, channel: TelegramChannel
) -> None:
    # Bot API, copyMessage: "the copied message doesn't have a link to the original message"
    ines, ben = standin.person("Ines"), standin.person("Ben")
    voice = ines.sends(voice={"file_id": "v", "file_unique_id": "v", "duration": 3})

    await channel.send(str(ben.chat), Rendered("A voice message:", copied=(str(ines.chat), str(voice))))
    assert [(seen.text, seen.copied, seen.protected) for seen in ben.got] == [
        ("A voice message:", None, False), ("", (ines.chat, voice), True)
    ]  # fmt: skip

    ines.wrote.remove(voice)  # she deletes it
    await channel.send(str(ben.chat), Rendered("A voice message:", copied=(str(ines.chat), str(voice))))
    assert [seen.text for seen in ben.got[2:]] == ["A voice message:"]


async def test_a_picture_arrives_protected_and_a_file_to_be_kept(
    standin: StandIn, channel: TelegramChannel
) -> None:
    ines = standin.person("Ines")

    await channel.send(str(ines.chat), Rendered("Your last four weeks", picture=PNG))
    await channel.send(str(ines.chat), Rendered("All that is kept", document=("diary-é.json", b'{"a": 1}')))

    assert [(seen.photo, seen.document, seen.protected) for seen in ines.got] == [
        (PNG, None, True), (None, ("diary-é.json", b'{"a": 1}'), False)
    ]  # fmt: skip
    assert ines.texts == ["Your last four weeks", "All that is kept"]


async def test_a_text_too_long_for_a_caption_follows_the_picture_and_keeps_the_buttons(
    standin: StandIn, channel: TelegramChannel
) -> None:
    ines = standin.person("Ines")
    text = "word " * 300

    await channel.send(str(ines.chat), Rendered(text, ((Button("Back", "b"),),), picture=PNG))

    assert [(seen.photo is None, seen.labels) for seen in ines.got] == [(False, []), (True, ["Back"])]
    assert ines.texts == ["", text.strip()]


async def test_a_long_text_comes_in_parts_that_lose_nothing(standin: StandIn, channel: TelegramChannel) -> None:
    ines = standin.person("Ines")
    lines = [f"line {n} 💪 {'x' * (n % 90)}" for n in range(300)]

    await channel.send(str(ines.chat), Rendered("\n".join(lines), ((Button("Ok", "ok"),),)))

    assert len(ines.got) > 2
    assert "\n".join(ines.texts).split("\n") == lines
    assert [seen.labels for seen in ines.got[-2:]] == [[], ["Ok"]]


@given(st.text(alphabet=st.sampled_from("ab \n💪é"), max_size=400), st.integers(4, 60))
def test_pieces_are_short_enough_never_blank_and_keep_every_letter(text: str, longest: int) -> None:
    pieces = in_pieces(text, longest)

    assert all(0 < units(piece) <= longest and piece.strip() == piece for piece in pieces)
    assert "".join("".join(pieces).split()) == "".join(text.split())


async def test_a_part_that_fails_after_another_arrived_is_unknown_so_that_it_is_not_repeated_for_ever(
    standin: StandIn, channel: TelegramChannel
) -> None:
    ines = standin.person("Ines")
    standin.troubles.add("sendPhoto", Late(0))
    standin.troubles.add("sendMessage", slow_down(3))

    with pytest.raises(DeliveryUnknown, match="part 2"):
        await channel.send(str(ines.chat), Rendered("word " * 400, picture=PNG))


async def test_further_parts_wait_for_their_turn(standin: StandIn, tg_bot: Any) -> None:
    ines = standin.person("Ines")
    turns: list[str] = []

    async def turn(address: str) -> float:
        turns.append(address)
        return 0.0 if len(turns) == 1 else 90.0

    with pytest.raises(DeliveryUnknown, match="part 3"):
        await TelegramChannel(tg_bot, turn).send(str(ines.chat), Rendered("word " * 2000))

    assert turns == [str(ines.chat)] * 2
    assert len(ines.got) == 2


async def test_a_moving_picture_and_a_clip_arrive_as_what_they_are_with_their_words(
    standin: StandIn, channel: TelegramChannel
) -> None:
    person = standin.person("Ines", chat=7)
    await channel.send("7", Rendered("how it looks", moving=b"GIF89a.."))
    await channel.send("7", Rendered("tones", voice=b"OggS.."))
    assert [(seen.text, seen.animation, seen.voice) for seen in person.got] == [
        ("how it looks", b"GIF89a..", None), ("tones", None, b"OggS.."),
    ]  # fmt: skip


async def test_a_message_is_changed_in_its_place_and_the_same_once_more_is_no_error(
    standin: StandIn, channel: TelegramChannel
) -> None:
    person = standin.person("Ines", chat=7)
    number = await channel.send("7", Rendered("Ready: 3", ((Button("Stop", "1.g.stop"),),)))
    for _ in range(2):
        await channel.edit("7", number or "", Rendered("Ready: 2", ((Button("Stop", "1.g.stop"),),)))
    await channel.edit("7", number or "", Rendered("Over."))
    assert (len(person.got), person.last.text, person.last.labels) == (1, "Over.", [])
    assert person.last.earlier == ["Ready: 3", "Ready: 2"]
    with pytest.raises(Refused):
        await channel.edit("7", "999", Rendered("gone"))


async def test_blocking_and_a_strange_chat_are_told_apart(standin: StandIn, channel: TelegramChannel) -> None:
    ines = standin.person("Ines")
    ines.blocks()

    with pytest.raises(Unreachable):
        await channel.send(str(ines.chat), Rendered("Pain today?"))
    with pytest.raises(Refused, match="Chat not found"):
        await channel.send("77", Rendered("Pain today?"))
    for message, address in ((Rendered("  \n"), str(ines.chat)), (Rendered("x"), "not a chat")):
        with pytest.raises(Refused):
            await channel.send(address, message)


async def test_a_tap_is_confirmed_once_and_an_old_one_is_refused(standin: StandIn, channel: TelegramChannel) -> None:
    ines = standin.person("Ines")
    await channel.send(str(ines.chat), Rendered("Pain today?", ((Button("4", "p4"),),)))
    tap = ines.taps("4")

    await channel.confirm_tap(tap)

    assert standin.confirmed_taps == [tap]
    with pytest.raises(Refused, match="too old"):
        await channel.confirm_tap(tap)


async def test_greeting_sets_commands_and_keeps_waiting_updates(standin: StandIn) -> None:
    standin.person("Ines").says("4, did all")
    bot = build_bot(TOKEN, standin.api)

    name = await greet(bot, [("today", "Today's dose"), ("help", "What I can do")])

    assert name == "fennel_lane_bot"
    assert standin.commands[0] == {"command": "today", "description": "Today's dose"}
    assert len(standin.waiting) == 1
    assert standin.sent("deleteWebhook")[0].values.get("drop_pending_updates") in (None, False)
    await bot.shutdown()


@pytest.mark.parametrize("token", ["7000000001:wrong-but-well-formed-000000000000", "", "12 34:abc", "abc"])
async def test_a_wrong_token_stops_with_a_clear_error_that_does_not_show_it(standin: StandIn, token: str) -> None:
    async def start() -> None:
        bot = build_bot(token, standin.api)
        try:
            await greet(bot)
        finally:
            await bot.shutdown()

    with pytest.raises(SettingsError, match="token") as caught:
        await start()

    assert not token or token not in f"{caught.value!r} {caught.value.__cause__!r}"
    assert caught.value.__suppress_context__ or caught.value.__context__ is None
