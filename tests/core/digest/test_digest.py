"""The facts of a week: hand-worked small cases, and what must hold for every caseload."""

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.digest import Digest, digest, state
from core.digest.attention import ORDER, RANK, URGENCY, Attention, Urgency
from core.digest.patient_facts import patient_week
from core.digest.patient_week import Made, Moved, Standing
from core.model import Evening, Flag, Move, NoticeKind
from core.scores import Band
from core.store.codec import dumps, loads
from tests.builders import a_decision, an_episode
from tests.caseload import MONDAY, SUNDAY, Lived, fennel_lane, lived, weeks_of
from tests.courses import PROGRAMME

ANA = Standing("ana", "Ana", "right")


def on(weekday: int, *, weeks_ago: int = 0) -> dt.date:
    return MONDAY + dt.timedelta(days=weekday - 7 * weeks_ago)


def evenings(*pains: int | None, weeks_ago: int = 0, done: int = 4) -> tuple[Evening, ...]:
    """A week's evenings from its Monday on, four sets asked of each; None is an evening without an answer."""
    return tuple(
        Evening(on(n, weeks_ago=weeks_ago), True, pain, None if pain is None else done, 4)
        for n, pain in enumerate(pains)
    )


def a_week(diary: tuple[Evening, ...], made: tuple[Made, ...] = (), who: Standing = ANA, **begun: object):
    start = an_episode(**{"started": on(0, weeks_ago=5), "since": on(0, weeks_ago=5), "step": 2} | begun)
    return patient_week(PROGRAMME, who, start, diary, made, MONDAY)


def test_a_week_worked_by_hand():
    last = evenings(5, 5, 4, 6, None, 5, 5, weeks_ago=1)
    this = (
        *evenings(4, 7, None, 6, 3, 7),  # 27 in five ratings, three of them six or more
        Evening(SUNDAY, asked=False),
    )
    up = Made(a_decision(date=on(3), move=Move.ADVANCE, step=3, after=an_episode(step=3, load_g=500, since=on(4))))
    stay = Made(
        a_decision(date=on(5), step=3, after=an_episode(step=3, load_g=500, first_week_mean=6.0, silent_days=1))
    )

    week = a_week((*last, *this), (up, stay))

    numbers = week.this.week
    assert (numbers.rated, numbers.asked, numbers.mean) == (5, 6, 27 / 5)
    assert (numbers.worst, numbers.worst_on, numbers.high_days) == (7, on(1), 3)
    assert (numbers.sets.done, numbers.sets.asked, numbers.sets.untold) == (20, 20, 1)
    assert (week.fortnight.done, week.fortnight.asked, week.fortnight.untold) == (44, 44, 2)
    assert week.last
    assert week.last.mean == 30 / 6
    assert week.week_change == pytest.approx(0.4)
    assert (week.step, week.load_g, week.steps) == (3, 500, 8)
    assert week.moves == (Moved(on(3), True, 3),)
    assert (week.last.step, week.this.step) == (2, 3)
    assert week.change
    assert week.change.points == pytest.approx(-0.6)
    assert week.change.band is Band.MINIMAL  # a tenth exactly
    assert (week.silent_days, week.stopped_for, week.attention) == (1, None, ())
    assert week.week_number == 6


@pytest.mark.parametrize(
    ("made", "who", "expected"),
    [
        ({"after": an_episode(step=2, paused_for=Flag.URGENT)}, ANA, [Attention.STOPPED]),
        (
            {"after": an_episode(step=1)}, replace(ANA, notices=(NoticeKind.SEVERE_TWICE,)),
            ["severe_twice", "stepped_back"],
        ),
        (  # what something was done about comes last
            {"after": an_episode(step=1, silent_days=9)}, replace(ANA, settled=(Attention.SILENT,)),
            ["stepped_back", "silent"],
        ),
        ({"after": an_episode(step=2, silent_days=7)}, ANA, [Attention.SILENT]),
        ({"after": an_episode(step=2, silent_days=6)}, ANA, []),
        ({"after": an_episode(step=2, silent_days=9)}, replace(ANA, away=True), [Attention.AWAY]),
        ({"after": an_episode(step=2, flared=on(2))}, ANA, [Attention.FLARE]),
        ({"after": an_episode(step=2, flared=on(1))}, ANA, []),  # that evening's decision is another one
        ({"after": an_episode(step=2)}, replace(ANA, unreachable=True), [Attention.UNREACHABLE]),
        ({"after": an_episode(step=2)}, replace(ANA, left=True), [Attention.LEFT]),
        ({"after": an_episode(step=2, stopped=on(2))}, ANA, [Attention.HALTED]),
        (
            {"after": an_episode(step=2)},
            replace(ANA, notices=(NoticeKind.PLATEAU_6_WEEKS, NoticeKind.CLINICAL_QUESTION, NoticeKind.CLEARED)),
            ["question", "plateau_6_weeks"],
        ),
    ],
)
def test_each_reason_to_look_comes_from_its_fact(made, who, expected):
    week = a_week((), (Made(a_decision(date=on(2), **made)),), who)

    assert list(week.attention) == expected


def test_a_rise_counts_from_a_full_point_and_from_four_ratings_in_both_weeks():
    def rising(last: tuple[Evening, ...], this: tuple[Evening, ...]) -> bool:
        return Attention.RISING in a_week((*last, *this)).attention

    assert rising(evenings(4, 4, 4, 4, weeks_ago=1), evenings(5, 5, 5, 5))
    assert not rising(evenings(4, 4, 4, 4, weeks_ago=1), evenings(5, 5, 5, 4))
    assert not rising(evenings(4, 4, 4, weeks_ago=1), evenings(9, 9, 9, 9))
    assert not rising(evenings(4, 4, 4, 4, weeks_ago=1), evenings(9, 9, 9))


def test_few_sets_are_fewer_than_moving_up_takes_over_a_fortnight():
    # Clifford 2020, table 2: nine in ten people did more than 71 % of the sessions (the programme's 5/7)
    most = (*evenings(*[3] * 7, weeks_ago=1, done=3), *evenings(*[3] * 7, done=3))
    fewer = (*evenings(*[3] * 7, weeks_ago=1, done=3), *evenings(*[3] * 7, done=2))

    assert a_week(most).attention == ()
    assert a_week(fewer).attention == (Attention.FEW_SETS,)


def test_a_large_and_new_fall_of_the_sets_is_to_be_seen_and_the_same_a_week_later_is_not():
    enough = [evenings(*[3] * 7, weeks_ago=ago, done=4) for ago in (4, 3, 2)]
    this = evenings(*[3] * 7, done=1)

    # 28 + 7 of 56 is 63 % after 100 %: less than two fifths; without any of the week 50 %: more
    assert a_week((*enough[1], *enough[2], *evenings(*[3] * 7, weeks_ago=1), *this)).attention == (Attention.FEW_SETS,)
    fell = (*enough[1], *enough[2], *evenings(*[3] * 7, weeks_ago=1), *evenings(*[3] * 7, done=0))
    assert Attention.FEWER_SETS in a_week(fell).attention
    again = (*enough[0], *enough[1], *evenings(*[3] * 7, weeks_ago=2), *evenings(*[3] * 7, weeks_ago=1, done=0), *this)
    assert Attention.FEWER_SETS not in a_week(again).attention


def test_a_past_week_comes_out_as_it_was():
    who, course = fennel_lane()[0]
    for ago in (1, 5, 12):
        monday = MONDAY - dt.timedelta(weeks=ago)
        sunday = monday + dt.timedelta(days=6)
        known_then = Lived(
            course.start,
            tuple(each for each in course.diary if each.date <= sunday),
            tuple(each for each in course.made if each.decision.date <= sunday),
        )
        assert course.week(who, monday) == known_then.week(who, monday)


def test_only_a_monday_begins_a_week_and_a_digest_is_of_one_week():
    with pytest.raises(ValueError, match="no Monday"):
        lived(10).week(ANA, SUNDAY)
    with pytest.raises(ValueError, match="gather that week's"):
        digest([lived(30).week(ANA, MONDAY)], on(0, weeks_ago=1))


def test_numbers_behind_the_decisions_stand_once_with_their_citations():
    course = lived(60)
    week = course.week(ANA)

    figures = [each.figure for each in week.numbers]
    used = {figure for each in week.told for reason in each.decision.reasons for figure in reason.figures}
    assert len(figures) == len(set(figures))
    assert set(figures) == used
    for each in week.numbers:
        sources = map(PROGRAMME.source, each.figure.rows)
        assert each.citations == tuple(source.citation for source in sources if source.citation)


def test_the_order_names_every_reason_once():
    assert [code for code, _ in ORDER] == sorted(Attention, key=RANK.__getitem__)
    assert len(ORDER) == len(Attention)
    assert [URGENCY[code] for code, _ in ORDER] == sorted(URGENCY[code] for code, _ in ORDER)


def test_danger_comes_first_and_those_in_no_need_last():
    found = digest(weeks_of(fennel_lane()), MONDAY)

    assert [each.who.name for each in found.patients[:4]] == [
        "the bricklayer", "the gardener", "the dental hygienist", "the pastry cook",
    ]  # fmt: skip
    assert found.patients[-1].attention == ()


def test_a_digest_survives_being_stored():
    found = digest(weeks_of(fennel_lane()), MONDAY)

    assert loads(Digest, dumps(found)) == found


CODES = st.lists(st.sampled_from(list(Attention)), unique=True).map(lambda codes: tuple(sorted(codes, key=RANK.get)))
PLAIN = lived(40).week(ANA)
PATIENTS = st.lists(
    st.tuples(CODES, st.booleans(), st.booleans(), st.sampled_from([None, Flag.URGENT]), st.text(max_size=3)),
    max_size=12,
)


def patients(facts):
    return [
        replace(
            PLAIN, attention=codes, stopped_for=flag, who=Standing(f"id-{n}", name, away=away, unreachable=gone),
            moves=(Moved(MONDAY, away, 3),) if gone else (),
        )
        for n, (codes, away, gone, flag, name) in enumerate(facts)
    ]  # fmt: skip


@given(PATIENTS, st.randoms())
def test_the_order_is_total_keeps_everybody_and_puts_the_more_urgent_first(facts, chance):
    given_weeks = patients(facts)
    shuffled = list(given_weeks)
    chance.shuffle(shuffled)

    found = digest(given_weeks, MONDAY)

    assert digest(shuffled, MONDAY) == found
    assert sorted(each.who.id for each in found.patients) == sorted(each.who.id for each in given_weeks)
    firsts = [RANK[each.attention[0]] if each.attention else len(ORDER) for each in found.patients]
    assert firsts == sorted(firsts)


@given(PATIENTS)
def test_counts_add_up(facts):
    counts = digest(patients(facts), MONDAY).counts

    parts = ("active", "stopped", "halted", "away", "unreachable", "left", "completed")
    assert sum(getattr(counts, part) for part in parts) == counts.patients == len(facts)
    assert counts.silent == sum("silent" in codes for codes, *_ in facts)
    assert counts.rated == len(facts) * PLAIN.this.week.rated
    for each in patients(facts):
        assert getattr(counts, state(each)) > 0


def test_a_mean_needs_three_ratings_and_a_change_four():
    assert a_week(evenings(4, None, 5)).this.mean is None
    assert a_week(evenings(4, None, 5, 6)).this.mean == 5
    known = (Made(a_decision(date=on(2), after=an_episode(first_week_mean=6.0))),)
    assert a_week(evenings(4, None, 5, 6), known).change is None  # the programme's weeks.ratings is 4
    assert a_week(evenings(4, None, 5, 6, 6), known).change is not None


def test_urgency_parts_what_needs_a_picture_from_what_is_good_to_know():
    known = a_week(evenings(*[3] * 7, done=1))

    assert known.attention == (Attention.FEW_SETS,)
    assert known.urgency is Urgency.KNOW
    assert a_week(evenings(*[3] * 7)).urgency is None
