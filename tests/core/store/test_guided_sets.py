"""Rows of sets that are counted through, on both databases."""

import datetime as dt

import pytest

from core.errors import StoreError
from core.records import GuidedState
from core.store import SqlStore
from tests.builders import NOW, TODAY, a_course, a_guided_set, a_person


def test_a_set_comes_back_is_due_to_one_alone_and_counts_once(store: SqlStore) -> None:
    person = a_person()
    course = a_course(person)
    later, over = NOW + dt.timedelta(seconds=20), {"state": GuidedState.DONE, "next_at": None}
    first = a_guided_set(course, number=1, counted=True, **over)
    running = a_guided_set(course, number=2, next_at=later, made_at=later)
    with store.writing() as unit:
        unit.people.save(person)
        unit.diary.save_course(course)
        for each in (first, running):
            unit.sets.save(each)
        unit.commit()
    with store.writing() as unit:
        assert unit.sets.on(course.id, TODAY) == (first, running)
        assert unit.sets.open_of(person.id) == unit.sets.get(running.id) == running
        assert unit.sets.next_at() == later
        assert unit.sets.due(NOW) is None
        assert unit.sets.due(later) == running.id
        unit.sets.give_up(running.id)
        assert (unit.sets.open_of(person.id), unit.sets.next_at()) == (None, None)
        unit.commit()
    with store.writing() as unit, pytest.raises(StoreError):
        unit.sets.save(a_guided_set(course, number=1, counted=True, **over))
    with store.writing() as unit:
        unit.sets.save(a_guided_set(course, number=3))
        with pytest.raises(StoreError):
            unit.sets.save(a_guided_set(course, number=4))
