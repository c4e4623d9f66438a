"""`holdlower replay`, stored diaries decided once more and what changes; `holdlower why`, one day with every reason."""

import argparse
import contextlib
import os
import sys
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import TextIO

from bot.cli.opened import date_of, note, opened, person_of, show_progress
from bot.run.app import utc_now
from bot.run.opening import keys_of, programme_of
from bot.settings import load_settings
from bot.wording.catalogue import Text, text_in
from bot.wording.staff_page import in_full
from core.errors import StoreError
from core.model import Decision, Flag, NoticeKind
from core.ports import Store
from core.programme import Programme
from core.programme.file import programme_at
from core.store import open_store
from core.use_cases.person_page import decisions_on
from core.use_cases.replaying import Difference, Replayed, Sum, other_moves, replay_person
from core.use_cases.work import Programmes

DISAGREES = 1  # the exit code when a stored decision does not come out again although nothing has changed


def replay_stored(options: argparse.Namespace, out: TextIO | None = None, err: TextIO | None = None) -> int:
    """Replay the people named, or all, one after the other; nothing is written. Returns the exit code."""
    out, err = out or sys.stdout, err or sys.stderr
    settings = load_settings(os.environ, options.settings)
    other = programme_at(options.programme) if options.programme else None
    text = text_in(settings.language)
    total = Sum()
    with contextlib.closing(open_store(settings.database, keys_of(settings.database, settings.key_file))) as store:
        for one in _each(store, Programmes(programme_of(settings)), options.people, other, err):
            total.add(one)
            for line in course_lines(text, one, whole=bool(options.people)):
                print(line, file=out)
    for line in sum_lines(text, total, assumed=other is not None):
        print(line, file=out)
    return DISAGREES if total.differ else 0


def _each(
    store: Store, programmes: Programmes, people: Iterable[str], other: Programme | None, err: TextIO
) -> Iterator[Replayed]:
    """One person at a time, each in a transaction of its own, so that a large clinic needs no more memory."""
    with store.reading() as uow:
        ids = list(people) or [person.id for person in uow.people.all()]
    for number, person_id in enumerate(ids):
        show_progress(err, number, len(ids))
        with store.reading() as uow:
            person = uow.people.get(person_id)
            if person is None:
                raise StoreError(
                    f"person {person_id}: nobody has this id; holdlower notices and export --all show the ids"
                )
            yield from replay_person(uow, programmes, person, utc_now(), other)
    show_progress(err, len(ids), len(ids))


def course_lines(text: Text, one: Replayed, *, whole: bool) -> Iterator[str]:
    """One course: nothing at all when it comes out as stored, unless it was asked for; `whole` lists each change."""
    if not (whole or one.changes or one.differ):
        return
    side = text(f"choice.{one.course.side}").lower()
    yield text.many("cli.replay.course", one.decisions, person=one.person_id, side=side)
    for stored in one.differ:
        yield text("cli.replay.differs", day=stored.date, id=stored.id)
    if one.older:
        yield text("cli.replay.older", older=one.older, same=one.older_same)
    if not one.changes:
        yield text("cli.replay.same")
        return
    moves = other_moves(one.changes)
    yield text("cli.replay.changes", n=len(one.changes), moves=moves, day=one.changes[0].date)
    if whole:
        yield from (_change(text, each) for each in one.changes)
    yield text("cli.replay.step", was=one.was.step, would=one.would.step)
    if one.was.stopped_days or one.would.stopped_days:
        yield text("cli.replay.stopped", was=one.was.stopped_days, would=one.would.stopped_days)
    more = Counter(one.would.notices)
    more.subtract(one.was.notices)
    yield from _notices(text, more)


def _change(text: Text, change: Difference) -> str:
    was, would = (_decided(text, each) for each in (change.was, change.would))
    if was == would:
        return text("cli.replay.change.dose", day=change.date, move=was)
    return text("cli.replay.change", day=change.date, was=was, would=would)


def _decided(text: Text, decision: Decision) -> str:
    return text(f"therapist.file.move.{decision.move.value}", step=decision.step)


def _notices(text: Text, more: Counter[NoticeKind]) -> Iterator[str]:
    """Which notices there would be more or less of."""
    for kind, count in sorted(more.items()):
        if count:
            key = f"notice.{kind.value}"
            what = text(f"{key}.{Flag.RED_FLAG.value}" if kind is NoticeKind.DANGER else key)
            yield text("cli.replay.notice", count=f"{count:+d}", what=what)


def sum_lines(text: Text, total: Sum, *, assumed: bool) -> Iterator[str]:
    """All courses together; `assumed` when another programme was followed."""
    yield text("cli.replay.sum", courses=total.courses, decisions=total.decisions)
    yield text("cli.replay.sum.agree", agree=total.agree, of=total.decisions - total.older)
    if total.differ:
        yield text("cli.replay.sum.differ", differ=total.differ)
    if total.older:
        yield text("cli.replay.sum.older", older=total.older, same=total.older_same)
    yield text("cli.replay.sum.changes", changed=total.changed, changes=total.changes, moves=total.moves)
    if total.changes:
        yield text("cli.replay.sum.steps", further=total.further, behind=total.behind)
        yield text("cli.replay.sum.stopped", days=f"{total.stopped_days:+d}")
        yield from _notices(text, total.notices)
    if assumed:
        yield text("cli.replay.assumed")


def say_why(options: argparse.Namespace) -> int:
    """Print what was decided on that date, or last, and why; the look is in the trail, under no name."""
    date = date_of(options.date) if options.date else None
    with opened(options) as (_, text, work):
        person = person_of(work, options.person)
        found = decisions_on(work, person, date)
        note(work, "decisions", person.id)
    if not found:
        print(text("cli.why.none", person=options.person, day=date) if date else text("therapist.decisions.none"))
    for decision in found:
        print("\n".join(in_full(text, decision)))
    return 0
