"""Texts filled in with facts, written as they stand in the middle of a sentence."""

from collections.abc import Mapping
from typing import Any

from bot.wording.catalogue import Text
from core.records import Button, Worded

Facts = Mapping[str, Any]


def plain(text: Text, facts: Facts) -> dict[str, Any]:
    """Facts as they are written in the middle of a sentence."""
    shown = dict(facts)
    for name in ("date", "until", "first"):
        if name in shown:
            shown[name] = text.day(shown[name])
    if "evening" in shown:
        shown["evening"] = text.time(shown["evening"])
    if "emergency" in shown:
        shown["emergency"] = shown["emergency"] or text("emergency")
    # never more than is known: it is on its way, or there is nobody whom it could reach
    told = facts.get("told")
    shown["passed"] = text(f"passed.{told if told in ('clinic_being', 'nobody') else 'being'}")
    if "zone" in shown:
        shown["zone"] = town(shown["zone"])
    return shown


def town(zone: str) -> str:
    """A zone's town as people write it: "New York"."""
    return zone.rpartition("/")[2].replace("_", " ")


def said(text: Text, kind: str, facts: Facts, buttons: tuple[tuple[Button, ...], ...] = ()) -> Worded:
    """The text of that kind, after a word that the last answer was not understood where `again` says so."""
    words = text(kind, **plain(text, facts))
    return Worded(f"{text('again')}\n\n{words}" if facts.get("again") else words, buttons)


def asks(text: Text, facts: Facts) -> tuple[str, ...]:
    """When the next question comes: tonight, or on a later date; nothing where none is planned."""
    planned = facts.get("next")
    if planned is None:
        return ()
    day = text.day(planned)
    return (text("asks.tonight") if planned == facts["today"] else text("asks.on", date=day),)
