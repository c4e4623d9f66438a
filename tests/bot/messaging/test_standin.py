"""The stand-in must be strict, or every test above is worth little."""

import asyncio
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import aiohttp
import pytest

from tests.standin import StandIn
from tests.standin.description import FILE, Description
from tests.standin.server import TOKEN

KEYS = {"inline_keyboard": [[{"text": "4", "callback_data": "p4"}]]}


def breaches(method: str, **form: Any) -> list[str]:
    values = {name: json.dumps(value) if isinstance(value, dict | list) else value for name, value in form.items()}
    return Description().read_call(method, values)[1]


def test_the_description_says_where_it_comes_from() -> None:
    origin = json.loads(FILE.read_text())["origin"]

    assert {"what", "repository", "commit", "file", "licence"} <= origin.keys()
    assert len(origin["commit"]) == 40


@pytest.mark.parametrize(
    ("method", "form"),
    [
        ("sendMessage", {"chat_id": "5", "text": "Pain today?", "reply_markup": KEYS}),
        ("sendMessage", {"chat_id": "5", "text": "é" * 4096, "protect_content": "true"}),
        ("sendPhoto", {"chat_id": "5", "photo": b"PNG", "caption": ""}),
        ("setMyCommands", {"commands": [{"command": "help", "description": "Help"}]}),
        ("getUpdates", {"offset": "7", "timeout": "30", "allowed_updates": ["message"]}),
    ],
)
def test_a_right_call_has_no_breach(method: str, form: dict[str, Any]) -> None:
    assert breaches(method, **form) == []


@pytest.mark.parametrize(
    ("method", "form", "breach"),
    [
        ("sendMessage", {"chat_id": "5"}, "text is required"),
        ("sendMessage", {"text": "x"}, "chat_id is required"),
        ("sendMessage", {"chat_id": "5", "text": ""}, "0 is not within 1 to 4096"),
        ("sendMessage", {"chat_id": "5", "text": "x" * 4097}, "4097 is not within"),
        ("sendMessage", {"chat_id": "5", "text": "x", "txet": "y"}, "unknown field txet"),
        ("sendMessage", {"chat_id": "5", "text": "x", "protect_content": "yes"}, "expected Boolean"),
        ("sendMessage", {"chat_id": "5", "text": "x", "reply_markup": "{"}, "expected"),
        ("sendMessage", {"chat_id": "5", "text": "x", "reply_markup": {"inline_keyboard": {}}}, "expected a list"),
        ("sendPhoto", {"chat_id": "5", "photo": b"x", "caption": "x" * 1025}, "1025 is not within"),
        ("sendPhoto", {"chat_id": "5", "photo": 7}, "expected"),
        ("setMyCommands", {"commands": [{"command": "x" * 33, "description": "x"}]}, "33 is not within"),
        ("answerCallbackQuery", {"callback_query_id": "1", "text": "x" * 201}, "201 is not within"),
        ("getUpdates", {"limit": "101"}, "101 is not within"),
    ],
)
def test_a_wrong_call_is_named(method: str, form: dict[str, Any], breach: str) -> None:
    assert breach in " ".join(breaches(method, **form))


@pytest.mark.parametrize(
    ("button", "breach"),
    [
        ({"text": "4"}, "exactly one thing"),
        ({"text": "4", "callback_data": "p4", "url": "https://example.org"}, "exactly one thing"),
        ({"callback_data": "p4"}, "text is required"),
        ({"text": "4", "callback_data": ""}, "0 is not within 1 to 64"),
        ({"text": "4", "callback_data": "é" * 33}, "66 is not within 1 to 64"),
        ({"text": 4, "callback_data": "p4"}, "expected String"),
        ({"text": "4", "callback_data": "p4", "colour": "red"}, "unknown field colour"),
    ],
)
def test_a_wrong_button_is_named_with_its_place(button: dict[str, Any], breach: str) -> None:
    found = " ".join(breaches("sendMessage", chat_id="5", text="x", reply_markup={"inline_keyboard": [[button]]}))

    assert breach in found
    assert "inline_keyboard[0][0]" in found


async def test_a_breach_is_answered_400_and_remembered(standin: StandIn) -> None:
    async with aiohttp.ClientSession() as session:
        async with session.post(f"{standin.api}/bot{TOKEN}/sendMessage", data={"chat_id": "5"}) as answer:
            assert answer.status == 400
            assert (await answer.json())["ok"] is False
        async with session.post(f"{standin.api}/bot{TOKEN}/sendPigeon") as answer:
            assert answer.status == 404

    assert len(standin.violations) == 2
    standin.violations.clear()


async def test_an_offset_confirms_and_no_offset_starts_at_the_earliest(standin: StandIn) -> None:
    """https://core.telegram.org/bots/api#getupdates"""
    ines = standin.person("Ines")
    for text in "abc":
        ines.says(text)

    async def get(**form: Any) -> list[int]:
        data = {"allowed_updates": "[]", **{name: str(value) for name, value in form.items()}}
        url = f"{standin.api}/bot{TOKEN}/getUpdates"
        async with aiohttp.ClientSession() as session, session.post(url, data=data) as answer:
            return [update["update_id"] - 860_000_000 for update in (await answer.json())["result"]]

    assert await get(limit=2) == [1, 2]
    assert await get() == [1, 2, 3]
    assert await get(offset=860_000_003) == [3]
    assert await get() == [3]
    assert await get(offset=860_000_004) == []
    assert standin.confirmed == [860_000_001, 860_000_002, 860_000_003]


async def test_it_runs_by_hand_and_prints_what_the_chat_receives() -> None:
    root = Path(__file__).parents[3]
    child = await asyncio.create_subprocess_exec(
        sys.executable, "-u", "-m", "tests.standin", "--port", "0",
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, cwd=root,
    )  # fmt: skip
    assert child.stdin is not None
    assert child.stdout is not None
    api = (await child.stdout.readline()).decode().split()[-1]
    form = {"chat_id": "500000001", "text": "Pain today?", "reply_markup": json.dumps(KEYS)}
    async with aiohttp.ClientSession() as session:
        async with session.post(f"{api}/bot{TOKEN}/sendMessage", data=form) as answer:
            assert answer.status == 200
        child.stdin.write(b"4, did all\n>1\n>no such button\n!edit 5\n!block\n")
        child.stdin.close()
        form = {"allowed_updates": "[]", "timeout": "1"}
        async with session.post(f"{api}/bot{TOKEN}/getUpdates", data=form) as answer:
            assert answer.status == 200
    printed = (await child.stdout.read()).decode()
    await child.wait()

    assert "[1] Pain today?" in printed
    assert "1 4" in printed
    assert "no button 'no such button'" in printed
