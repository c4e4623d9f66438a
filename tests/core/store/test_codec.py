"""Frozen values survive storing exactly, and old rows stay readable."""

import dataclasses
import datetime as dt
import json
import types
import typing
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.errors import StoreError
from core.model import Decision, Episode, Flag, Kind
from core.store import codec
from tests.builders import TODAY, a_decision, an_episode


def every_field(hint: Any) -> st.SearchStrategy[Any]:
    """Values of a type with every field drawn: Hypothesis itself leaves those alone that have a default."""
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if dataclasses.is_dataclass(hint):
        made: Any = hint
        return st.builds(made, **{name: every_field(kind) for name, kind in typing.get_type_hints(hint).items()})
    if origin in (typing.Union, types.UnionType):
        return st.one_of(*map(every_field, inner))
    if origin is tuple and Ellipsis not in inner:
        return st.tuples(*map(every_field, inner))
    if origin in (tuple, frozenset):
        return st.lists(every_field(inner[0]), max_size=2).map(origin)
    return st.floats(allow_nan=False, allow_infinity=False) if hint is float else st.from_type(hint)


@given(every_field(Episode))
def test_an_episode_comes_back_exactly(episode: Episode) -> None:
    assert codec.loads(Episode, codec.dumps(episode)) == episode


@given(every_field(Decision))
@settings(max_examples=60)
def test_a_decision_comes_back_exactly_and_another_reader_agrees(decision: Decision) -> None:
    text = codec.dumps(decision)

    assert codec.loads(Decision, text) == decision
    # reference: the standard library reads it, and writes from it what is read as the same again
    assert codec.loads(Decision, json.dumps(json.loads(text))) == decision


def test_types_come_back_as_themselves() -> None:
    episode = an_episode(
        setbacks=(TODAY,), told=frozenset({"silent", "long_gap"}), paused_for=Flag.RED_FLAG, level=3, flared=TODAY
    )

    back = codec.loads(Episode, codec.dumps(episode))

    assert type(back.told) is frozenset
    assert type(back.setbacks) is tuple
    assert back.paused_for is Flag.RED_FLAG
    assert type(back.since) is dt.date
    assert type(back.level) is float
    assert codec.loads(Decision, codec.dumps(a_decision())).dose.kind is Kind.ISOMETRIC  # type: ignore[union-attr]


def test_a_row_from_before_a_field_existed_takes_its_default() -> None:
    fields = json.loads(codec.dumps(an_episode(silent_days=3)))
    for name in ("excess", "told", "paused_for"):
        del fields[name]

    assert codec.loads(Episode, json.dumps(fields)) == an_episode(silent_days=3)


@pytest.mark.parametrize(
    "change",
    [
        {"from_the_future": 1}, {"since": 5}, {"step": 2.5}, {"step": True},
        {"step": "two"}, {"started": "yesterday"}, {"paused_for": "tired"}, {"told": 5},
    ],
)
def test_what_does_not_fit_is_named_rather_than_guessed(change: dict[str, object]) -> None:
    fields = json.loads(codec.dumps(an_episode())) | change

    with pytest.raises(StoreError, match="stored Episode cannot be read"):
        codec.loads(Episode, json.dumps(fields))


@pytest.mark.parametrize("value", [{"level": float("nan")}, {"x": object()}])
def test_what_json_cannot_hold_is_refused(value: object) -> None:
    with pytest.raises(StoreError, match="cannot be stored as JSON"):
        codec.dumps(value)


def test_json_is_compact_and_writes_defaults_too() -> None:
    text = codec.dumps(an_episode())

    assert ": " not in text
    assert set(json.loads(text)) == {field.name for field in dataclasses.fields(Episode)}
