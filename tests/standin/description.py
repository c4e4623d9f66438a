"""Checks values against the carried-over description of the Bot API (bot_api.json: origin and licence stand in it).

Limits are not part of that file's names, types and required flags; they stand here with where they are published.
"""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

FILE = Path(__file__).with_name("bot_api.json")

# (least, most) characters; https://core.telegram.org/bots/api, the description of each field
LENGTHS = {
    ("sendMessage", "text"): (1, 4096),
    ("editMessageText", "text"): (1, 4096),
    ("sendPhoto", "caption"): (0, 1024),
    ("sendVoice", "caption"): (0, 1024),
    ("sendAnimation", "caption"): (0, 1024),
    ("sendDocument", "caption"): (0, 1024),
    ("answerCallbackQuery", "text"): (0, 200),
    ("BotCommand", "command"): (1, 32),
    ("BotCommand", "description"): (1, 256),
}
BYTES = {("InlineKeyboardButton", "callback_data"): (1, 64)}
RANGES = {("getUpdates", "limit"): (1, 100)}
MOST_COMMANDS = 100
# "Exactly one of the fields other than text, icon_custom_emoji_id, and style must be used"
BUTTON_LOOKS = {"text", "icon_custom_emoji_id", "style"}
PLAIN = {"String": str, "Boolean": bool, "Integer": int, "True": bool}


class Description:
    """The carried-over methods and types."""

    def __init__(self) -> None:
        content = json.loads(FILE.read_text(encoding="utf-8"))
        self.methods: dict[str, Any] = content["methods"]
        self.types: dict[str, Any] = content["types"]

    def read_call(self, method: str, form: Mapping[str, Any]) -> tuple[dict[str, Any], list[str]]:
        """The typed values of a form and every breach of the description. A file arrives as bytes."""
        fields = self.methods[method]["fields"]
        values = {name: _from_form(value, fields[name]["types"]) for name, value in form.items() if name in fields}
        wrong = [f"{method}: unknown field {name}" for name in form.keys() - fields.keys()]
        return values, wrong + self._check_fields(method, fields, values)

    def check(self, type_name: str, value: Any, where: str = "") -> list[str]:
        """Every breach of one value against one type of the description."""
        where = where or type_name
        if type_name.startswith("Array of "):
            if not isinstance(value, list):
                return [f"{where}: expected a list, got {type(value).__name__}"]
            inner = type_name.removeprefix("Array of ")
            return [w for i, part in enumerate(value) for w in self.check(inner, part, f"{where}[{i}]")]
        if type_name == "InputFile":
            return [] if isinstance(value, bytes) else [f"{where}: expected an uploaded file"]
        if type_name in PLAIN:
            right = isinstance(value, PLAIN[type_name]) and (type_name == "Boolean" or value is not False)
            right = right and not (type_name == "Integer" and isinstance(value, bool))
            return [] if right else [f"{where}: expected {type_name}, got {type(value).__name__}"]
        if type_name not in self.types:
            return [f"{where}: {type_name} is not carried over into {FILE.name}; add it when it is used"]
        if "subtypes" in self.types[type_name]:
            return self._one_of(self.types[type_name]["subtypes"], value, where)
        if not isinstance(value, dict):
            return [f"{where}: expected {type_name}, got {type(value).__name__}"]
        fields = self.types[type_name]["fields"]
        wrong = [f"{where}: unknown field {name}" for name in value.keys() - fields.keys()]
        wrong += self._check_fields(type_name, fields, value, where)
        if type_name == "InlineKeyboardButton" and len(value.keys() - BUTTON_LOOKS) != 1:
            wrong.append(f"{where}: a button does exactly one thing")
        return wrong

    def _one_of(self, names: list[str], value: Any, where: str) -> list[str]:
        known = [name for name in names if name in PLAIN or name == "InputFile" or name in self.types]
        found = [self.check(name, value, where) for name in known or names]
        return min(found, key=len, default=[f"{where}: none of {names}"])

    def _check_fields(
        self, owner: str, fields: Mapping[str, Any], values: Mapping[str, Any], where: str = ""
    ) -> list[str]:
        where = where or owner
        wrong = [f"{where}: {n} is required" for n, f in fields.items() if f["required"] and n not in values]
        for name, value in values.items():
            if name in fields:
                wrong += self._one_of(fields[name]["types"], value, f"{where}.{name}")
                wrong += _limits(owner, name, value, f"{where}.{name}")
        return wrong


def _limits(owner: str, name: str, value: Any, where: str) -> list[str]:
    key = (owner, name)
    size: int | None = None
    if isinstance(value, str):
        # UTF-16 units, the stricter counting (from memory; the description only says characters)
        size = len(value.encode("utf-8")) if key in BYTES else len(value.encode("utf-16-le", "replace")) // 2
    elif isinstance(value, int):
        size = value
    least_most = LENGTHS.get(key) or BYTES.get(key) or RANGES.get(key)
    if key == ("setMyCommands", "commands"):
        size, least_most = len(value), (0, MOST_COMMANDS)
    if least_most is None or size is None or least_most[0] <= size <= least_most[1]:
        return []
    return [f"{where}: {size} is not within {least_most[0]} to {least_most[1]}"]


def _from_form(value: Any, types: list[str]) -> Any:
    """A form holds strings: read them as the service does, or leave them for the check to refuse."""
    if not isinstance(value, str) or types == ["String"]:
        return value
    if "Boolean" in types:
        return {"true": True, "false": False}.get(value.lower(), value)
    if "Integer" in types and value.lstrip("-").isdecimal():
        return int(value)
    if "String" not in types or value[:1] in "[{":
        try:
            return json.loads(value)
        except ValueError:
            return value
    return value
