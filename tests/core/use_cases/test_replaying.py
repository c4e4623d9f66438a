"""Stored courses decided once more: the same by their own programme, and by another one as if it had been followed."""

import datetime as dt
import re
from collections import Counter
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import RefusalError
from core.model import Flag, Move
from core.programme import Programme
from core.programme.file import default_programme_text, load_programme
from core.records import StoredDecision
from core.rule.override import Act, Override
from core.timetable import evening_of
from core.use_cases.answering import Said
from core.use_cases.coming_back import clear, come_back
from core.use_cases.leaving import go_away
from core.use_cases.overriding import act, undo
from core.use_cases.replaying import Replayed, Sum, other_moves, replay_person
from core.use_cases.reporting import danger_told
from core.use_cases.work import Programmes
from tests.core.use_cases.test_walk import START, Step, Story, steps
from tests.core.use_cases.world import MORNING, PROGRAMME, World
from tests.examples import examples

ACTS = (Act.UP, Act.BACK, Act.TO, Act.PIN, Act.UNPIN, Act.STOP, Act.GO_ON, Act.GATE, Act.UNGATE)


def replayed(world: World, who: str, other: Programme | None = None) -> Replayed:
    programmes = Programmes(world.programme)
    (one,) = world.read(lambda uow: tuple(replay_person(uow, programmes, uow.people.get(who), world.now, other)))
    return one


def programme(numbers: dict[str, str]) -> Programme:
    """The default programme with some numbers of its rule changed, each named by its section and key."""
    lines, section = [], ""
    left = dict(numbers)
    for line in default_programme_text().splitlines():
        if line.startswith("[rule."):
            section = line.strip("[]").removeprefix("rule.")
        value = left.pop(f"{section}.{line.partition(' =')[0]}", None)
        lines.append(re.sub(r"value = [\d.]+", f"value = {value}", line) if value else line)
    assert not left
    return load_programme("\n".join(lines))


class StoryWithStaff(Story):
    """A walk on which a therapist moves, pins and stops the person, too, and takes some of it back."""

    def act(self, what: str, number: int) -> None:
        super().act(what, number)
        if what == "half":
            self.staff_does(ACTS[number % len(ACTS)], number)
        elif what == "evening":
            self.staff_undoes()

    def staff_does(self, what: Act, number: int) -> None:
        today = evening_of(self.world.now, self.world.person(self.who).zone)
        until = today + dt.timedelta(days=number + 2) if what is Act.PIN else None
        above = min(self.world.course(self.who).episode.step + 1, 9)
        step = 1 + number % 9 if what is Act.TO else above if what in (Act.GATE, Act.UNGATE) else None
        override = Override(what, step, until, number / 2 if what is Act.GATE else None)
        self.try_to(lambda work, person: act(work, work.uow.staff.get("ben"), person, override, "agreed"))

    def staff_undoes(self) -> None:
        last = self.world.decisions(self.who)[-1:]
        self.try_to(lambda work, person: undo(work, work.uow.staff.get("ben"), person, last[0].id if last else ""))

    def try_to(self, what: Callable[..., object]) -> None:
        try:
            self.world.on(self.who, what)
        except RefusalError:
            return


@examples(6)
@given(steps, st.integers(0, 10), st.booleans())
def test_every_course_whatever_happened_on_it_comes_out_again_exactly(
    fresh: Callable[[dt.datetime], World], walk: list[Step], rating: int, injected: bool
):
    world = fresh(START)
    world.staff(id="ben")
    story = StoryWithStaff(world, world.somebody(rating, 14 if injected else 0, therapist_id="ben"))
    for step in walk:
        story.take(step)
    story.take(("live", 60, 0))
    stored = world.decisions(story.who)
    before = world.read(lambda uow: uow.people.export(story.who))
    if not stored:
        return

    one = replayed(world, story.who)

    assert (one.decisions, one.agree, one.older, one.differ) == (len(stored), len(stored), 0, ())
    assert one.changes == ()
    assert one.was == one.would
    assert one.was.moves == Counter(each.decision.move for each in stored)
    assert world.read(lambda uow: uow.people.export(story.who)) == before


def lived(world: World, pains: str) -> str:
    """A course with one rating a letter ("t" for ten), every set done; "-" is an evening without an answer."""
    who = world.somebody(4)
    for day, letter in enumerate(pains):
        world.live_to(day, "19:10")
        if letter != "-":
            world.answer(who, 10 if letter == "t" else int(letter), 99)
    world.live_to(len(pains), "12:00")
    return who


COURSES = (
    "44344476" + "4434343443344" + "77664" + "343433343",
    "44344" + "--------" + "8344" + "--" + "84344343" + "5655565565",
    "4" * 44 + "6" * 3 + "45" * 5,
)
OTHERS = {
    "jumpy": {"flare.allowance": "0.25", "flare.limit": "1.75", "flare.daily_cap": "1"},
    "deaf": {"flare.allowance": "3", "flare.limit": "9"},
    "strict weeks": {"weeks.up": "0.2", "weeks.settle_days": "3"},
    "strict gaps": {
        "gap.ease_days": "2", "gap.back_days": "3", "gap.back_two_days": "5", "gap.restart_days": "7",
        "attention.silent_days": "2",
    },
    "early looks": {
        "plateau.early_days": "21", "plateau.early_share": "0.5", "plateau.middle_days": "28",
        "attention.setbacks": "2",
    },
}  # fmt: skip


@pytest.mark.long
@pytest.mark.parametrize("pains", COURSES)
def test_another_programme_decides_as_if_the_person_had_followed_it_with_the_same_answers(
    fresh: Callable[[dt.datetime], World], pains: str
):
    """The same evenings lived under either programme from the start: replaying the one by the other gives the other.

    Every set is done, so that what is asked of a day changes no share of it.
    """
    world, total = fresh(MORNING), Sum()
    who = lived(world, pains)
    told = world.decisions(who)
    for numbers in OTHERS.values():
        other = programme(numbers)
        mirror = fresh(MORNING)
        mirror.programme = other
        really = mirror.decisions(lived(mirror, pains))

        one = replayed(world, who, other)
        total.add(one)

        assert one.agree == len(told) == len(really)
        by_date = {each.date: each.would for each in one.changes}
        assert [by_date.get(each.date, each.decision).dose for each in told] == [each.decision.dose for each in really]
        assert all(by_date[each.date] == each.decision for each in really if each.date in by_date)
        assert one.would.moves == Counter(each.decision.move for each in really)
        assert one.would.step == really[-1].decision.step
        assert one.would.notices == Counter(kind for each in really for kind in each.decision.notices)
    assert total.courses == len(OTHERS)
    assert total.moves
    assert total.changes > total.moves
    assert total.notices.total()


def changed(world: World, stored: StoredDecision, new: StoredDecision) -> None:
    def swap(work):
        work.uow.decisions.supersede(stored.id)
        work.uow.decisions.add(replace(new, id=work.new_id()))

    world.do(swap)


def test_a_decision_that_was_tampered_with_is_found_and_one_of_an_older_rule_is_said_to_be_so(small: World):
    who = lived(small, "4434443")
    stored = small.decisions(who)
    forged = replace(stored[2], decision=replace(stored[2].decision, move=Move.ADVANCE))
    aged = replace(stored[4], decision=replace(stored[4].decision, move=Move.REGRESS, rule_version="0"))
    changed(small, stored[2], forged)
    changed(small, stored[4], aged)
    same = replace(stored[5].decision, rule_version="0")
    changed(small, stored[5], replace(stored[5], decision=same))

    one = replayed(small, who)

    assert [each.date for each in one.differ] == [stored[2].date]
    assert (one.agree, one.older, one.older_same) == (len(stored) - 3, 2, 1)
    assert [(each.date, each.was.move, each.would.move) for each in one.changes] == [
        (stored[2].date, Move.ADVANCE, Move.HOLD),
        (stored[4].date, Move.REGRESS, Move.HOLD),
    ]
    assert other_moves(one.changes) == 2


def test_acts_returns_and_cleared_stops_are_made_where_they_stood_and_days_without_a_dose_are_counted(small: World):
    small.staff(id="ben")
    who = small.somebody(therapist_id="ben")

    def ben(what: Override) -> None:
        small.on(who, lambda work, person: act(work, work.uow.staff.get("ben"), person, what, "agreed"))

    happens = {
        3: lambda: ben(Override(Act.TO, step=4)),
        6: lambda: ben(Override(Act.STOP)),
        9: lambda: ben(Override(Act.GO_ON)),
        12: lambda: small.on(who, danger_told, Said(flag=Flag.RED_FLAG), small.now),
        14: lambda: small.on(who, clear, "looked at"),
        16: lambda: small.on(who, go_away, None),
        18: lambda: small.on(who, come_back),
    }
    for day in range(20):
        small.live_to(day, "12:00")
        happens.get(day, lambda: None)()
        small.live_to(day, "19:10")
        if day not in (6, 7, 8, 12, 13, 16, 17):
            small.answer(who, 4, 99)

    one = replayed(small, who, programme({"gap.ease_days": "1", "gap.back_days": "2", "gap.back_two_days": "4"}))

    assert one.agree == one.decisions == len(small.decisions(who))
    assert one.was.stopped_days == one.would.stopped_days == 3 + 1
    assert one.was.moves[Move.ADVANCE] == 1  # the therapist's own
    assert one.was.step == 4
    assert one.would.step < 4  # the stop and the days away are longer gaps there
    assert one.would.moves[Move.REGRESS] > one.was.moves[Move.REGRESS] == 0


def test_a_stop_that_still_lasts_counts_up_to_now_and_a_course_without_decisions_is_left_out(small: World):
    who = small.somebody()
    small.live_to(0, "19:10")
    small.answer(who, 4, 99)
    small.live_to(1, "12:00")
    small.on(who, danger_told, Said(flag=Flag.URGENT), small.now)
    small.live_to(6, "12:00")

    assert replayed(small, who).was.stopped_days == 6 - 1
    new, programmes = small.somebody(), Programmes(PROGRAMME)
    assert small.read(lambda uow: list(replay_person(uow, programmes, uow.people.get(new), small.now))) == []
