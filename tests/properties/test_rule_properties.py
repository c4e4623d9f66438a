"""What must hold of the rule whatever people answer: whole random courses, and single evenings from random
states."""

import datetime as dt
from dataclasses import replace
from itertools import pairwise
from statistics import fmean

from hypothesis import assume, event, given
from hypothesis import strategies as st

from core.model import DANGER, Decision, Dose, Episode, Evening, Flag, Kind, Move, ReasonCode
from core.rule import begin, clear_danger, decide, dose_on, resume
from core.rule.dose import work
from tests.courses import PROGRAMME, TODAY, back
from tests.examples import examples

RULE = PROGRAMME.rule
HARDNESS = {Kind.ISOMETRIC: 0, Kind.ECCENTRIC: 1, Kind.ISOTONIC: 2}
CALLS = {ReasonCode.SEVERE_TWICE, ReasonCode.ABOVE_CEILING_WEEK, ReasonCode.FLARE, ReasonCode.FLARE_AGAIN}
QUICK = examples(50)

pains = st.integers(0, 10)
day_numbers = st.integers(0, 60)


def days_ago(low: int, high: int) -> st.SearchStrategy[dt.date]:
    return st.integers(low, high).map(back)


@st.composite
def evenings(draw: st.DrawFn, most: int = 50) -> tuple[Evening, ...]:
    """A diary up to today with calm, rising and silent stretches, rest days and evenings nobody asked about.
    """
    made: list[Evening] = []
    centre = draw(st.integers(0, 9))
    for days in range(draw(st.integers(0, most)), -1, -1):
        kind = draw(st.integers(0, 19))
        asked_sets = 0 if kind == 0 else 3
        if kind == 1:
            made.append(Evening(back(days), asked=False))
        elif kind in (2, 3):
            made.append(Evening(back(days), sets_asked=asked_sets))
        else:
            pain = min(10, max(0, centre + draw(st.integers(-1, 1)) + (4 if kind == 4 else 0)))
            done = asked_sets if kind < 17 else draw(st.none() | st.integers(0, asked_sets))
            made.append(Evening(back(days), pain=pain, sets_done=done, sets_asked=asked_sets))
    return tuple(made)


@st.composite
def episodes(draw: st.DrawFn) -> Episode:
    """Any state that a course could be in, most often one that is close to moving."""
    number = draw(st.integers(1, len(PROGRAMME.steps)))
    step = PROGRAMME.step(number)
    maybe = st.none() | days_ago(0, 30)
    idle = draw(st.just(0) | st.integers(0, 40))
    return Episode(
        started=draw(days_ago(0, 250)),
        start_rating=draw(pains),
        step=number,
        since=draw(days_ago(0, 120)),
        load_g=draw(st.integers(step.floor_g // 100, step.cap_g // 100)) * 100,
        load_changed=draw(maybe),
        load_raised=draw(maybe),
        holds_days=draw(day_numbers),
        level=draw(st.none() | st.floats(0, 10)),
        excess=draw(st.just(0.0) | st.floats(0, 4.79)),
        flared=draw(maybe),
        stay_until=draw(st.none() | st.integers(-3, 7).map(lambda n: back(-n))),
        pinned_until=draw(st.none() | st.none() | st.integers(-3, 7).map(lambda n: back(-n))),
        setbacks=tuple(sorted(draw(st.lists(days_ago(1, 60), max_size=3)))),
        trained=draw(st.integers(0, 45)),
        left=draw(st.just(()) | st.just(((max(number - 1, 1), 20, 15),))) if number > 1 else (),
        eased_since=draw(st.none() | st.none() | days_ago(1, 20)),
        idle_days=idle,
        idle_steps_taken=2 if idle >= 15 else 1 if idle >= 8 else 0,
        silent_days=draw(st.integers(0, 10)),
        first_week_mean=draw(st.none() | st.floats(0, 10)),
        own_gates=draw(st.just(()) | st.just(()) | st.integers(0, 20).map(lambda n: ((min(number + 1, 9), n / 2),))),
    )


def kind_of(episode: Episode) -> Kind:
    return PROGRAMME.step(episode.step).dose.kind


def check(before: Episode, decision: Decision) -> None:
    """The invariants of any decision."""
    after = decision.after
    assert 1 <= after.step <= len(PROGRAMME.steps)
    assert decision.step == after.step
    assert decision.reasons
    assert decision.for_date == decision.date + dt.timedelta(days=1)
    assert (decision.dose is None) == (decision.move is Move.PAUSE) == (after.paused_for is not None)
    assert (decision.move is Move.ADVANCE) == (after.step > before.step)
    assert (decision.move is Move.REGRESS) == (after.step < before.step)
    assert after.step <= before.step + 1
    assert after.excess >= 0
    if decision.move is Move.REGRESS:
        assert after.load_g <= before.load_g
        assert HARDNESS[kind_of(after)] <= HARDNESS[kind_of(before)]
        easier = dose_on(PROGRAMME, before, decision.for_date)
        for_pain = decision.reasons[0].code in CALLS
        assert not for_pain or decision.dose is None or work(decision.dose) <= work(easier) + 1e-9
    if after.step == before.step:
        assert after.load_g - before.load_g <= RULE.load.silent_g.value
    assert 0 <= after.load_g <= max(PROGRAMME.step(after.step).cap_g, before.load_g)
    if decision.dose is not None:
        check_dose(after, decision)


def check_dose(after: Episode, decision: Decision) -> None:
    """What differs from the step's plain dose is rest or fewer holds."""
    dose = decision.dose
    assert dose is not None
    plain = dose_on(PROGRAMME, after, decision.for_date)
    assert dose.step == after.step
    assert dose.load_g <= after.load_g
    if dose == plain or not dose.asked:
        return
    assert dose.kind is Kind.ISOMETRIC
    assert 1 <= dose.asked < max(plain.asked, PROGRAMME.step(PROGRAMME.step(after.step).holds).dose.asked)


@QUICK
@given(episodes(), evenings())
def test_every_decision_keeps_to_the_ladder_and_never_makes_going_back_heavier(
    state: Episode, diary: tuple[Evening, ...]
) -> None:
    check(state, decide(PROGRAMME, state, diary, TODAY))


@QUICK
@given(episodes(), evenings(), st.sampled_from(sorted(DANGER)))
def test_danger_always_stops(state: Episode, diary: tuple[Evening, ...], flag: Flag) -> None:
    decision = decide(PROGRAMME, state, (*diary[:-1], replace(diary[-1], flag=flag)), TODAY)

    assert decision.move is Move.PAUSE
    assert decision.dose is None
    assert decision.after.paused_for is flag
    check(state, decision)


@st.composite
def nearly_ready(draw: st.DrawFn) -> tuple[Episode, tuple[Evening, ...]]:
    """A person whom nothing, or one or two things, keep from moving up."""
    number = draw(st.integers(1, 8))
    usual = draw(st.integers(0, 5))
    step = PROGRAMME.step(number)

    def now_and_then(strategy: st.SearchStrategy[object], usually: object) -> object:
        return draw(strategy) if draw(st.integers(0, 7)) == 0 else usually

    served = int(step.least_days.value) + draw(st.integers(-2, 20) | st.integers(0, 20))
    state = Episode(
        started=draw(days_ago(8, 16) | days_ago(150, 150)),
        start_rating=draw(st.integers(max(0, usual - 1), 5)),
        step=number,
        since=back(served - 1),
        load_g=step.cap_g,
    )
    changed: dict[str, object] = {
        "holds_days": now_and_then(st.integers(10, 30), 40),
        "level": now_and_then(st.floats(0, 5), float(usual)),
        "excess": now_and_then(st.floats(0, 3.9), 0.0),
        "gate_tested": now_and_then(days_ago(1, 9), None),
        "gate_shut": now_and_then(st.just(3.0), 10.0),
        "trained": now_and_then(st.integers(0, 30), 42),
        "stay_until": now_and_then(st.integers(-1, 3).map(lambda n: back(-n)), None),
        "pinned_until": now_and_then(st.integers(-1, 3).map(lambda n: back(-n)), None),
        "own_gates": now_and_then(st.integers(0, 10).map(lambda n: ((number + 1, n / 2),)), ()),
    }
    diary: list[Evening] = []
    for days in range(29, -1, -1):
        pain = now_and_then(st.none() | st.integers(0, 7), usual)
        done = now_and_then(st.none() | st.integers(0, 3), 3)
        diary.append(Evening(back(days), pain=pain, sets_done=done, sets_asked=3))  # type: ignore[arg-type]
    return replace(state, **changed), tuple(diary)  # type: ignore[arg-type]


def mean_of(ratings: dict[int, int], days: int) -> float:
    return fmean(pain for age, pain in ratings.items() if age < days)


def gate_is_open(number: int, state: Episode, ratings: dict[int, int]) -> bool:
    """The gates as the ladder was specified, written out again in plain numbers: each is looked at once a week, and the
    last fortnight has to meet it, too."""
    mean = max(mean_of(ratings, 7), mean_of(ratings, 14))
    own = dict(state.own_gates).get(number)  # the therapist's takes the place of the mean, not of the rest
    days, trained = (TODAY - state.since).days + 1, state.trained
    least = {2: 7, 3: 14, 4: 14, 5: 14, 6: 14, 7: 28, 8: 42, 9: 42}[number]
    needed = {2: 3, 3: 7, 4: 7, 5: 7, 6: 7, 7: 14, 8: 21, 9: 10}[number]
    served, short = days >= least and trained >= needed, days >= 7 and trained >= 4
    soon = state.gate_tested is not None and (TODAY - state.gate_tested).days < 7
    calm = number != 8 or all(pain <= 5 for age, pain in ratings.items() if age < 14)

    def met(limit: float) -> bool:
        return mean <= limit and not (soon and limit <= state.gate_shut)

    if number in (3, 4):
        held = state.holds_days + 1 if number == 4 else 99  # tonight's day on holds counts
        wide, narrow = ({3: 5, 4: 4}[number], 3) if own is None else (own, min(3, own))
        return (served and met(wide) and held >= 28) or (short and met(narrow) and held >= 14)
    if number == 9:
        mean = max(mean, mean_of(ratings, 28))
    return served and calm and met({2: 7, 5: 4, 6: 4, 7: 3, 8: 3, 9: 2}[number] if own is None else own)


def level_of(state: Episode, ratings: dict[int, int]) -> float:
    """Six weeks of evenings before tonight's, each a little lower for its age: pain halves in 15.2 weeks."""
    before = [pain * 0.5 ** (age / (15.2 * 7)) for age, pain in ratings.items() if 0 < age <= 42]
    enrolled = (TODAY - state.started).days + 1
    if enrolled <= 42:
        before.append(state.start_rating * 0.5 ** (enrolled / (15.2 * 7)))
    assert state.level is not None
    return fmean(before) if len(before) >= 4 else state.level


def may_move_up(state: Episode, diary: tuple[Evening, ...]) -> bool:
    """Every condition for moving up, from the words of the design alone."""
    ratings = {(TODAY - one.date).days: one.pain for one in diary if one.pain is not None}
    week = [pain for age, pain in ratings.items() if age < 7]
    last_week = [pain for age, pain in ratings.items() if 7 <= age < 14]
    pain = ratings.get(0)
    if pain is None or pain > 5 or len(week) < 4:
        return False
    level = level_of(state, ratings)
    trained = state.trained + (2 * (diary[-1].sets_done or 0) >= 3)  # tonight counts
    before = fmean(last_week) if len(last_week) >= 4 else level
    carried = state.excess if min(age for age in (*ratings, 99) if age) <= 4 else 0.0
    return all(
        (
            fmean(week) - before < 0.5 - 1e-9,
            max(carried + min(pain - level - 0.9, 2.4), 0) <= 0.9 + 1e-12,
            state.stay_until is None or state.stay_until <= TODAY,
            state.pinned_until is None or state.pinned_until <= TODAY,
            gate_is_open(state.step + 1, replace(state, trained=trained), ratings),
        )
    )


@examples(200)
@given(nearly_ready())
def test_a_person_moves_up_exactly_when_every_condition_of_the_design_holds(
    case: tuple[Episode, tuple[Evening, ...]],
) -> None:
    state, diary = case
    decision = decide(PROGRAMME, state, diary, TODAY)

    event(f"moves up: {may_move_up(state, diary)}")
    assert (decision.move is Move.ADVANCE) == may_move_up(state, diary)
    check(state, decision)


@QUICK
@given(episodes(), evenings())
def test_no_load_and_no_step_rises_in_silence_in_a_flare_or_above_five(
    state: Episode, diary: tuple[Evening, ...]
) -> None:
    decision = decide(PROGRAMME, state, diary, TODAY)
    pain = diary[-1].pain

    if decision.move is Move.ADVANCE or decision.after.load_g > state.load_g:
        assert pain is not None
        assert pain <= 5
        assert decision.after.excess <= RULE.flare.allowance.value
        assert state.stay_until is None or state.stay_until <= TODAY
        assert state.pinned_until is None or state.pinned_until <= TODAY


@QUICK
@given(st.integers(1, 8), st.integers(0, 2), st.data())
def test_a_calm_faithful_person_below_every_gate_does_move_up(
    number: int, pain: int, data: st.DataObject
) -> None:
    step = PROGRAMME.step(number)
    served = int(step.least_days.value) + data.draw(st.integers(0, 30))
    state = Episode(
        started=back(200), start_rating=pain, step=number, since=back(served - 1), load_g=step.cap_g,
        holds_days=28, trained=42, level=float(pain),
    )  # fmt: skip
    diary = tuple(Evening(back(days), pain=pain, sets_done=3, sets_asked=3) for days in range(41, -1, -1))

    decision = decide(PROGRAMME, state, diary, TODAY)

    assert decision.move is Move.ADVANCE
    check(state, decision)


@QUICK
@given(st.integers(1, 9), pains, pains)
def test_one_bad_evening_never_steps_a_calm_person_back_for_a_flare(
    number: int, usual: int, bad: int
) -> None:
    diary = tuple(Evening(back(days), pain=usual, sets_done=3, sets_asked=3) for days in range(20, 0, -1))
    state = Episode(back(90), 5, number, back(20), load_g=500, level=float(usual))

    decision = decide(PROGRAMME, state, (*diary, Evening(TODAY, pain=bad, sets_done=3, sets_asked=3)), TODAY)

    assert ReasonCode.FLARE not in {why.code for why in decision.reasons}


@QUICK
@given(st.integers(2, 9), st.sampled_from([(2, 4), (3, 3), (6, 2)]), st.integers(0, 8), st.integers(0, 6))
def test_two_evenings_four_above_three_that_are_three_or_six_that_are_two_call_for_a_step_back(
    number: int, evenings_and_rise: tuple[int, int], usual: int, more: int
) -> None:
    count, rise = evenings_and_rise
    bad = min(usual + rise + more, 10)
    assume(bad >= usual + rise)
    state = Episode(back(120), 5, number, back(50), load_g=500, level=float(usual))
    diary = [
        Evening(back(days), pain=bad if days < count else usual, sets_done=3, sets_asked=3)
        for days in range(42 + count, -1, -1)
    ]

    moves = []
    for days in range(count - 1, -1, -1):
        decision = decide(PROGRAMME, state, diary, back(days))
        state = decision.after
        moves.append(decision.move)

    assert Move.REGRESS in moves


@QUICK
@given(episodes(), evenings(), st.lists(pains, max_size=5))
def test_the_same_facts_give_the_same_decision_and_later_or_old_evenings_change_nothing(
    state: Episode, diary: tuple[Evening, ...], later: list[int]
) -> None:
    decision = decide(PROGRAMME, state, diary, TODAY)
    future = tuple(Evening(back(-n), pain=pain, sets_asked=3) for n, pain in enumerate(later, start=1))
    past = tuple(Evening(back(days), pain=10, sets_asked=3, flag=Flag.URGENT) for days in range(400, 60, -1))

    assert decide(PROGRAMME, state, diary, TODAY) == decision
    assert decide(PROGRAMME, state, past + diary + future, TODAY) == decision


@QUICK
@given(episodes(), st.integers(0, 60), st.integers(0, 40))
def test_coming_back_never_moves_up(state: Episode, away: int, stopped: int) -> None:
    for decision in (
        resume(PROGRAMME, state, TODAY, away),
        clear_danger(PROGRAMME, replace(state, paused_for=Flag.URGENT, paused_since=back(stopped)), TODAY),
    ):
        assert decision.move in (Move.HOLD, Move.REGRESS)
        assert decision.after.load_g <= state.load_g
        check(state, decision)


@st.composite
def people(draw: st.DrawFn) -> list[Evening | None]:
    """200 evenings of one person: a level that wanders, and spells of silence, of idleness and of our own
    downtime."""
    told: list[Evening | None] = []
    level = draw(st.integers(2, 8))
    while len(told) < 200:
        spell = draw(st.sampled_from(["calm"] * 6 + ["worse", "silent", "idle", "unasked"]))
        length = draw(st.integers(1, 4 if spell == "worse" else 35))
        level = max(0, min(8, level + draw(st.integers(-2, 1))))
        for _ in range(length):
            pain = max(0, min(10, level + draw(st.integers(-1, 1)) + (3 if spell == "worse" else 0)))
            told.append(
                {
                    "silent": Evening(TODAY),
                    "idle": Evening(TODAY, pain=pain, sets_done=0),
                    "unasked": None,
                }.get(spell, Evening(TODAY, pain=pain, sets_done=99))
            )
    return told[:200]


def live_checked(told: list[Evening | None]) -> list[tuple[Episode, Decision, Dose | None]]:
    started = TODAY
    state = begin(PROGRAMME, started, 6)
    dose: Dose | None = dose_on(PROGRAMME, state, started)
    diary: list[Evening] = []
    lived: list[tuple[Episode, Decision, Dose | None]] = []
    for day, answer in enumerate(told):
        today = started + dt.timedelta(days=day)
        if answer is not None:
            asked = dose.asked if dose is not None else 0
            done = None if answer.sets_done is None else min(answer.sets_done, asked)
            diary.append(replace(answer, date=today, sets_asked=asked, sets_done=done))
        decision = decide(PROGRAMME, state, tuple(diary), today)
        check(state, decision)
        lived.append((state, decision, dose))
        state, dose = decision.after, decision.dose
    # Any stored decision can be made again from its stored state, in any order and with the whole diary.
    for before, decision, _ in lived[::-17]:
        assert decide(PROGRAMME, before, tuple(diary), decision.date) == decision
    return lived


@examples(12)
@given(people())
def test_a_whole_random_course_keeps_every_promise(told: list[Evening | None]) -> None:
    lived = live_checked(told)
    decisions = [decision for _, decision, _ in lived]

    # The load rises at most 100 g in any seven days within a step.
    for number, (before, _, _) in enumerate(lived):
        for later in decisions[number : number + 7]:
            if later.step != before.step:
                break
            assert later.after.load_g - before.load_g <= RULE.load.silent_g.value
    # After a flare nobody moves up for seven days.
    for number, decision in enumerate(decisions):
        if ReasonCode.FLARE in {why.code for why in decision.reasons}:
            assert all(later.move is not Move.ADVANCE for later in decisions[number : number + 7])
    # A step is left upwards only after its least days.
    for before, decision, _ in lived:
        if decision.move is Move.ADVANCE:
            served = (decision.date - before.since).days + 1 + before.served_before
            least = PROGRAMME.step(before.step).least_days.value
            assert served >= (7 if before.step in (2, 3) else least)  # there a short cut leads on
    # Each decision starts from where the one before it ended.
    for (_, sooner, _), (state, _, _) in pairwise(lived):
        assert sooner.after == state


@examples(150)
@given(episodes(), evenings(), st.integers(0, 9))
def test_one_rating_higher_never_brings_a_harder_day(
    state: Episode, diary: tuple[Evening, ...], pain: int
) -> None:
    """In kilogram-seconds of moving, a held second for a quarter (judgement), and as many sets for none."""
    tonight = replace(diary[-1], asked=True, sets_asked=3, sets_done=3)
    lower, higher = (
        decide(PROGRAMME, state, (*diary[:-1], replace(tonight, pain=rating)), TODAY).dose
        for rating in (pain, pain + 1)
    )

    assert lower is not None
    assert higher is not None
    # the last steps ask for fewer repetitions of more weight: who is moved up there has the harder day of the two
    below = higher.step < lower.step and higher.load_g <= lower.load_g
    # half a day of a lowering or lifting step is held with the least weight, half a day of holds with one's own:
    # whoever is called back to the holds that evening holds more than they would have (known; wants a rule version)
    held = all(each.kind is Kind.ISOMETRIC for dose in (lower, higher) for each in dose.exercises if each.sets)
    own = held and higher.step < lower.step and higher.asked <= lower.asked and higher.load_g <= state.load_g
    assert work(higher) <= work(lower) + 1e-9 or below or own or not higher.asked
