"""Why a decision came out as it did: one sentence for the evening, the whole chain for who asks."""

from collections.abc import Mapping
from typing import Any

from bot.wording.catalogue import Text
from bot.wording.dose import kilos

Facts = Mapping[str, Any]


def because(text: Text, reason: Facts) -> str:
    """One reason as one sentence."""
    return text(f"because.{reason['code']}", **_numbers(text, reason))


def chain(text: Text, reasons: list[Facts]) -> list[str]:
    """Every reason, with each number it was measured against and where that number comes from."""
    lines = []
    for reason in reasons:
        lines.append(text("why.reason", reason=because(text, reason)))
        lines.extend(figure_line(text, figure) for figure in reason["figures"])
    return lines


def figure_line(text: Text, figure: Facts) -> str:
    """One number of the programme with its provenance: published and by whom, common practice, or judgement."""
    value = text.number(figure["value"], 2)
    name = _figure_name(text, figure["name"])
    key = f"why.from.{figure['provenance'].replace(' ', '_')}"
    return text(key, name=name, value=value, cited="; ".join(figure["cited"]))


def _figure_name(text: Text, name: str) -> str:
    """A figure's name is its path in the programme file; what follows the step's number finds its words."""
    plain = name.partition("].")[2] if name.startswith("step[") else name
    key = f"figure.{plain}"
    return text(key) if text.has(key) else plain.replace("_", " ").replace(".", ", ")


def _numbers(text: Text, reason: Facts) -> dict[str, str]:
    numbers = {name: text.number(value) for name, value in reason["numbers"].items()}
    for name in ("grams", "load"):
        if name in numbers:
            numbers[name] = kilos(text, int(reason["numbers"][name]))
    if "share" in numbers:
        numbers |= {name: text.number(reason["numbers"][name] * 100, 0) for name in ("share", "need")}
    return numbers
