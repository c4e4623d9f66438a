"""One person lives through the programme, evening by evening, deciding with the real rule."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field

from core.model import Decision, Dose, Episode, Evening, Kind, Move, NoticeKind, ReasonCode
from core.programme import Programme
from core.programme.thresholds import WINDOW_DAYS
from core.rule import answer_weight, begin, decide, deny_signs, dose_on, resume
from core.simulation.people import Course, Model, Script, felt, level, rated
from core.understanding import Felt
from core.weeks import WEEK_DAYS

FIRST_DAY = dt.date(2026, 1, 5)  # any day does: the rule knows dates only by their distance
PRACTISED_DAYS = 5
HEAVY_ABOVE = 5  # points; holds only above it (common practice, no source)
PASSING_DAYS = 7  # how long a flare lasts that passes
FOLLOWED_DAYS = 84  # so long the way back to where it began is followed

# On the lowest step the rule words a call differently, since nobody steps back there.
_CALLS = {
    ReasonCode.SEVERE_TWICE: ReasonCode.SEVERE_TWICE,
    ReasonCode.SEVERE_ONCE: ReasonCode.SEVERE_TWICE,
    ReasonCode.ABOVE_CEILING_WEEK: ReasonCode.ABOVE_CEILING_WEEK,
    ReasonCode.FLARE: ReasonCode.FLARE,
    ReasonCode.FLARE_AGAIN: ReasonCode.FLARE,
    ReasonCode.STAY_EXCESS: ReasonCode.FLARE,
}
CLAIMS_A_RISE = frozenset({ReasonCode.FLARE})


@dataclass(frozen=True, slots=True)
class MoveUp:
    """One move up: how far the true level lay above the gate of the new step, below it when negative."""

    day: int
    step: int
    above_gate: float
    practised: bool  # at least five of the last seven evenings answered with the sets done


@dataclass(slots=True)
class Life:
    """What became of one person. Days count from 0."""

    ratings: list[int | None] = field(default_factory=list)
    calls: list[tuple[int, ReasonCode]] = field(default_factory=list)  # to step back; on the lowest step too
    gaps: int = 0  # steps back that a gap brought
    advances: list[MoveUp] = field(default_factory=list)
    reached: dict[int, int] = field(default_factory=dict)  # by step: the first day that led to it or beyond
    top_day: int | None = None  # first on the last step before maintenance
    delays: list[int] = field(default_factory=list)  # evenings to the call, one for each flare; see `Model.flare_days`
    heavy: int = 0  # evenings of a flare, up to the call, that led to lowering or lifting with a true level above 5
    decisions: int = 0
    lowering_day: int | None = None  # first on a step that moves a weight
    step: int = 1  # at the end
    load_g: int = 0  # the own weight at the end, where the step moves it
    rated: int = 0  # evenings with a rating below the last step
    sets_alone: int = 0  # of them, on which only training days were missing
    lost_days: list[int] = field(default_factory=list)  # from the call of a passing flare until back where it began
    notices: frozenset[NoticeKind] = frozenset()


class Walk:
    """A person on the way: the episode, the diary, and what they are asked to do today."""

    def __init__(
        self, programme: Programme, model: Model, script: Script, episode: Episode, diary: Sequence[Evening], dose: Dose
    ) -> None:
        self.programme, self.model, self.script = programme, model, script
        self.episode = episode
        self.diary = list(diary)
        self.dose = dose
        self.trained = 0  # days with a weight

    def branch(self) -> "Walk":
        """The same person at the same moment, to live on differently."""
        other = Walk(self.programme, self.model, self.script, self.episode, self.diary[-WINDOW_DAYS:], self.dose)
        other.trained = self.trained
        return other

    def evening(self, day: int, pain: int | None, *, done: bool) -> Decision:
        """Answers, or not, and lets the rule decide; then says at once what it asks beside."""
        today = FIRST_DAY + dt.timedelta(days=day)
        asked = self.dose.asked
        sets = None if pain is None else asked if done else 0
        self.trained += bool(sets and self.dose.load_g)
        self.diary.append(Evening(today, pain=pain, sets_done=sets, sets_asked=asked))
        decision = decide(self.programme, self.episode, self.diary, today)
        self.take(decision)
        if self.episode.signs_asked is not None:  # nobody here has any of the signs, and everybody says so at once
            self.take(deny_signs(self.programme, self.episode, self.diary, today))
        if decision.ask_weight and self.script.tells[day]:
            self.take(answer_weight(self.programme, self.episode, self.diary, today, self._felt()))
        return decision

    def come_back(self, day: int, days: int) -> None:
        """After so many days away, the last of which is `day`; where most sets were done meanwhile, nothing follows."""
        if not self.script.away_done:
            self.take(resume(self.programme, self.episode, FIRST_DAY + dt.timedelta(days=day), days))

    def take(self, decision: Decision) -> None:
        self.episode = decision.after
        if decision.dose is not None:
            self.dose = decision.dose

    def _felt(self) -> Felt:
        return felt(self.model, self.script, self.episode.load_g, self.trained / WEEK_DAYS)


def live(
    programme: Programme, model: Model, script: Script, course: Course, onsets: Sequence[int], judge: Programme
) -> Life:
    """The whole course; from each day of `onsets` the person also lives on with a lasting flare until the call.

    From the first of them once more with a flare that passes, until back on the step where it began. Advances are
    measured at the gates of `judge`, which is the programme itself unless that one has none.
    """
    episode = begin(programme, FIRST_DAY, script.first_rating(course))
    walk = Walk(programme, model, script, episode, (), dose_on(programme, episode, FIRST_DAY))
    life, rise, starts, away = Life(), 0.0, frozenset(onsets), 0
    for day in range(len(script.answered)):
        if day in script.away:
            away += 1
            life.ratings.append(None)
            continue
        if away:
            walk.come_back(day - 1, away)
            away = 0
        if day in starts:
            _flare(model, script, course, walk.branch(), day, life)
            if day == onsets[0]:
                _passing(model, script, course, walk.branch(), day, life)
        true = level(script, course, day)
        pain = rated(true + script.noise[day] + rise) if script.answered[day] else None
        decision = walk.evening(day, pain, done=script.done[day])
        life.ratings.append(pain)
        rise = _note(model, script, life, decision, day, true, judge)
    life.step = walk.episode.step
    moves = _moves(programme, life.step)
    life.load_g = walk.episode.load_g if moves else 0
    return life


def _note(
    model: Model, script: Script, life: Life, decision: Decision, day: int, true: float, judge: Programme
) -> float:
    """Writes down what the evening brought; returns how much more tomorrow will hurt because of it."""
    life.decisions += 1
    _place(life, decision, day, judge)
    why = called(decision)
    if why is not None:
        life.calls.append((day, why))
    elif decision.move is Move.REGRESS:
        life.gaps += 1
    if decision.move is not Move.ADVANCE:
        return 0.0
    gates = [gate.mean.value for gate in judge.step(decision.step).gates]
    above = true - max(gates) if gates else -true
    week = range(max(day - WEEK_DAYS + 1, 0), day + 1)
    practised = sum(script.answered[each] and script.done[each] for each in week) >= PRACTISED_DAYS
    life.advances.append(MoveUp(day, decision.step, above, practised))
    return model.intolerance_rise if above > 0 or script.touchy[day] else 0.0


def _place(life: Life, decision: Decision, day: int, programme: Programme) -> None:
    top = programme.rungs
    for step in range(max(life.reached, default=0) + 1, decision.step + 1):
        life.reached[step] = day
    if life.top_day is None and decision.step >= top:
        life.top_day = day
    if life.lowering_day is None and _moves(programme, decision.step):
        life.lowering_day = day
    codes = {why.code for why in decision.reasons}
    if decision.step < top and ReasonCode.NO_ANSWER not in codes:
        life.rated += 1
        life.sets_alone += bool(codes) and codes <= {ReasonCode.STAY_TRAINING, ReasonCode.STAY_IDLE}
    life.notices |= frozenset(decision.notices)


def _moves(programme: Programme, step: int) -> bool:
    return programme.step(step).dose.kind is not Kind.ISOMETRIC


def called(decision: Decision) -> ReasonCode | None:
    """Why the evening's pain called for a step back, as on a higher step; None when it did not.

    Of several reasons it is the one that says that the pain rose, which can be false; that it is severe or above the
    ceiling is not.
    """
    backs = decision.after.setbacks
    if not backs or backs[-1] != decision.date:
        return None
    whys = [_CALLS[why.code] for why in decision.reasons if why.code in _CALLS]
    return next((why for why in whys if why in CLAIMS_A_RISE), whys[0])


def flare_ratings(model: Model, script: Script, course: Course, onset: int) -> list[int | None]:
    """What the person says from `onset` on while their true level has risen for good."""
    days = range(onset, min(onset + model.flare_days, len(script.answered)))
    return [
        rated(level(script, course, day) + model.flare_rise + script.noise[day])
        if script.answered[day]
        else None
        for day in days
    ]


def _loads(dose: Dose | None) -> bool:
    return dose is not None and dose.kind not in (Kind.MOBILISING, Kind.ISOMETRIC)


def _flare(model: Model, script: Script, course: Course, walk: Walk, onset: int, life: Life) -> None:
    """The delay counts the same kind of call as the false ones: where another one came first, none is counted."""
    ratings = flare_ratings(model, script, course, onset)
    for delay, pain in enumerate(ratings, start=1):
        day = onset + delay - 1
        decision = walk.evening(day, pain, done=script.done[day])
        life.decisions += 1
        why = called(decision)
        if why is not None:
            life.delays.append(delay if why in CLAIMS_A_RISE else 0)
            return
        life.heavy += level(script, course, day) + model.flare_rise > HEAVY_ABOVE and _loads(decision.dose)
    life.delays.append(len(ratings) + 1)


def _passing(model: Model, script: Script, course: Course, walk: Walk, onset: int, life: Life) -> None:
    """A flare of a week: from its call, how long until the step where it began asks for its own sets again."""
    began, call = walk.episode.step, None
    for day in range(onset, min(onset + FOLLOWED_DAYS, len(script.answered))):
        rise = model.flare_rise if day < onset + PASSING_DAYS else 0.0
        pain = rated(level(script, course, day) + rise + script.noise[day]) if script.answered[day] else None
        decision = walk.evening(day, pain, done=script.done[day])
        life.decisions += 1
        if call is None:
            if day >= onset + 2 * PASSING_DAYS:
                return
            call = day if called(decision) in CLAIMS_A_RISE else None
        elif decision.step >= began and decision.after.eased_since is None:
            life.lost_days.append(day - call)
            return
    if call is not None:
        life.lost_days.append(FOLLOWED_DAYS)
