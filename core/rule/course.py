"""A course along the ladder: where it begins, how a step is entered and left, how long it has been served."""

import datetime as dt
from dataclasses import replace

from core.model import Episode, Figure, Provenance
from core.programme import Gate, Programme, Step

OWN_GATE = "override.gate"  # the name of a gate's figure that the therapist set for one person


def begin(programme: Programme, started: dt.date, start_rating: int, *, gently: bool = False) -> Episode:
    """A new episode that begins on `started`; a high start rating (0-10), or `gently`, takes the gentler step."""
    rule = programme.rule.begin
    key = rule.gentle_step if gently or start_rating > rule.gentle_above.value else rule.usual_step
    number = programme.numbered(key)
    return Episode(
        started=started,
        start_rating=start_rating,
        step=number,
        since=started,
        load_g=programme.step(number).floor_g,
        level=float(start_rating),
    )


def keeps_up(programme: Programme, episode: Episode) -> bool:
    """Whether all that is left is to keep what was gained: no rise has begun, nothing is eased, asked or waited for."""
    quiet = episode.excess <= 0 and episode.eased_since is None and episode.signs_asked is None
    waits = episode.unloaded_until is not None or episode.awaits_look or is_stopped(episode)
    return programme.step(episode.step).maintenance and quiet and not waits


def enter(programme: Programme, episode: Episode, number: int, today: dt.date, *, afresh: bool = False) -> Episode:
    """The episode with a new step that begins tomorrow.

    Days served there before are kept, and so are those of the step that is left; `afresh` forgets them all. The excess
    starts anew, since the step itself answers what had gathered.
    """
    step, tomorrow = programme.step(number), today + dt.timedelta(days=1)
    days, trained, left = _kept(episode, number, today)
    down = number < episode.step
    load = _entry_load(programme, episode, step)
    first_weight = load > 0 and episode.load_g == 0
    try_days = dt.timedelta(days=int(programme.rule.load.try_days.value))
    return replace(
        episode,
        step=number,
        since=tomorrow,
        served_before=0 if afresh else days,
        trained=0 if afresh else trained,
        left=() if afresh else left,
        fell_from=episode.step if down else None,
        fell_since=episode.since if down else None,
        fell_load_g=episode.load_g if down else 0,
        gate_tested=None,
        eased_since=None,
        load_g=load,
        load_changed=today,
        load_raised=None,
        weight_asked=None,
        trying_until=tomorrow + try_days if first_weight else episode.trying_until,
        excess=0.0,
    )


def _kept(episode: Episode, number: int, today: dt.date) -> tuple[int, int, tuple[tuple[int, int, int], ...]]:
    """Days and training days that the new step was served before, and all that is kept of the others."""
    if number == episode.step:
        return served(episode, today), episode.trained, episode.left
    kept = {step: (days, trained) for step, days, trained in episode.left}
    kept[episode.step] = (max(served(episode, today), 0), episode.trained)
    days, trained = kept.pop(number, (0, 0))
    return days, trained, tuple((step, *each) for step, each in sorted(kept.items()))


def _entry_load(programme: Programme, episode: Episode, step: Step) -> int:
    """The person's own weight goes along; steps of bare holds leave it as it was."""
    if not step.cap_g:
        return episode.load_g
    load = episode.load_g or step.floor_g
    if step.number > episode.step:
        return min(load + step.entry_rise_g, step.cap_g)
    # going back means more sets or repetitions from step 8 on: the rise that came with fewer is taken off again
    left = programme.step(episode.step)
    relief = step.entry_rise_g if left.maintenance else left.entry_rise_g
    return min(max(load - relief, min(load, step.floor_g)), step.cap_g)


def gates_into(step: Step, episode: Episode) -> tuple[Gate, ...]:
    """The ways into a step: the programme's, or with the weekly mean that the therapist set for this person.

    The therapist's mean stands for that of the first way, which keeps what else it asks; no other way lets in at more.
    """
    own = next((mean for number, mean in episode.own_gates if number == step.number), None)
    if own is None:
        return step.gates
    figure = Figure(OWN_GATE, own, Provenance.JUDGEMENT)
    if not step.gates:
        return (Gate(figure),)
    first, *others = step.gates
    strict = [gate if gate.mean.value <= own else replace(gate, mean=figure) for gate in others]
    return (replace(first, mean=figure), *strict)


def served(episode: Episode, today: dt.date) -> int:
    """Days of the present step, today and those of an earlier time on it among them; none while a flare settles."""
    now = 0 if episode.eased_since is not None else (today - episode.since).days + 1
    return now + episode.served_before


def is_stopped(episode: Episode) -> bool:
    """Whether no dose is given: a stop for danger, or the therapist's own."""
    return episode.paused_for is not None or episode.stopped is not None


def is_unloaded(episode: Episode, date: dt.date) -> bool:
    """Whether the place rests on that date after an injection."""
    return episode.unloaded_until is not None and date < episode.unloaded_until


def is_pinned(episode: Episode, today: dt.date) -> bool:
    """Whether the therapist keeps the person on this step."""
    return episode.pinned_until is not None and today < episode.pinned_until
