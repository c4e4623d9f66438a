"""A course along the ladder: where it begins, how a step is entered, what a step asks of a date."""

import datetime as dt
from dataclasses import replace

from core.model import Dose, Episode, Figure, Kind, Provenance
from core.programme import Entry, Gate, Programme, Step

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


def enter(programme: Programme, episode: Episode, number: int, today: dt.date) -> Episode:
    """The episode with a new step that begins tomorrow.

    The excess starts anew, since the step itself answers what had gathered.
    """
    step = programme.step(number)
    return replace(
        episode,
        step=number,
        since=today + dt.timedelta(days=1),
        load_g=_entry_load(programme, episode, step),
        load_changed=today,
        load_raised=None,
        excess=0.0,
    )


def _entry_load(programme: Programme, episode: Episode, step: Step) -> int:
    up, carried = step.number > episode.step, episode.load_g
    load = step.floor_g
    if step.entry is Entry.CARRY:
        load = max(carried, step.floor_g) + (step.entry_rise_g if up else 0)
    load = min(load, step.cap_g)
    if up:
        return load
    # going back means more sets or repetitions from step 8 on: the rise that came with fewer is taken off again
    left = programme.step(episode.step)
    relief = step.entry_rise_g if left.maintenance else left.entry_rise_g
    return min(load, max(carried - relief, min(carried, step.floor_g)))


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
    """Days of the present step, its first day and today among them."""
    return (today - episode.since).days + 1


def is_stopped(episode: Episode) -> bool:
    """Whether no dose is given: a stop for danger, or the therapist's own."""
    return episode.paused_for is not None or episode.stopped is not None


def is_unloaded(episode: Episode, date: dt.date) -> bool:
    """Whether the place rests on that date after an injection."""
    return episode.unloaded_until is not None and date < episode.unloaded_until


def dose_on(programme: Programme, episode: Episode, date: dt.date) -> Dose:
    """What the episode's step asks of a date. Completed, a person may go on.

    No sets on rest days, when stopped, after an injection, and while the red-flag questions are open.
    """
    step = programme.step(episode.step)
    barred = is_stopped(episode) or is_unloaded(episode, date) or episode.signs_asked is not None
    if barred or not step.rhythm[(date - episode.since).days % len(step.rhythm)]:
        return step.rest
    return step.dose if step.dose.load_g == episode.load_g else replace(step.dose, load_g=episode.load_g)


def rest_of(programme: Programme, episode: Episode) -> Dose:
    """The rest day of the episode's step."""
    return programme.step(episode.step).rest


def halved(programme: Programme, episode: Episode, dose: Dose) -> Dose:
    """Half the sets, rounded down but at least one, as holds only and never heavier than the dose itself."""
    if dose.kind is not Kind.ISOMETRIC:
        holds = programme.step(programme.step(episode.step).holds).dose
        dose = replace(holds, step=episode.step, load_g=min(dose.load_g, holds.load_g))
    fewer = (replace(each, sets=max(each.sets // 2, 1)) if each.sets else each for each in dose.exercises)
    return replace(dose, exercises=tuple(fewer))
