"""Decisions, doses and evenings as they are worded."""

import datetime as dt
from collections.abc import Iterable

from core.digest.patient_week import flares_of, steps_between
from core.facts import (
    Compared,
    CourseFacts,
    DecisionFacts,
    DoseFacts,
    FigureFacts,
    NextStep,
    ReasonFacts,
    SideFacts,
    StepFacts,
)
from core.model import Decision, Dose, Episode, Evening, Figure, NoticeKind, Reason
from core.page import NextGate
from core.ports import UnitOfWork
from core.programme import Programme
from core.records import Course, OutcomeScore, Person, StoredDecision
from core.rule.course import gates_into, is_stopped, is_unloaded
from core.rule.dose import training_dose
from core.scores import told_apart
from core.timetable import evening_of, local_date
from core.use_cases.work import Work
from core.weeks import WEEK_DAYS, fortnight, week_number, week_of_days, week_up_to


def dose_facts(programme: Programme, dose: Dose, *, how: bool = False) -> DoseFacts:
    """A dose with the programme's words for it in every language; with `how` also those that say how it is done."""
    step = programme.step(dose.step)
    names = ["site", "both_sides", f"step.{step.key}"]
    held = [one for one in programme.equipment if one.most_g is None or dose.load_g <= one.most_g.value]
    if how:
        names += ["release", "helping", "stop", "condition", "call", "equipment"]
        names += ["limb", "picture", *(f"exercise.{each.key}" for each in dose.exercises)]
    return DoseFacts(
        step=dose.step,
        steps=programme.rungs,
        step_key=step.key,
        load_g=dose.load_g,
        asked=dose.asked,
        exercises=dose.exercises,
        words=programme.said(*names),
        guided=programme.guiding is not None,
        equipment=tuple(one.key for one in held) if dose.load_g else (),
        held=next(((one.drawn, one.sizes_g) for one in held if one.drawn and dose.load_g), ("", ())),
        pictures={one.key: one for one in programme.pictures} if how else {},
    )


def side_of(programme: Programme, side: str) -> SideFacts:
    """A side with the programme's words for it."""
    return SideFacts(side, programme.said(f"side.{side}", f"limb.{side}"))


def side_facts(work: Work, course: Course) -> dict[str, SideFacts]:
    """Which side it is, for what is told of one of two courses; nothing where the person has but one."""
    if len(work.uow.diary.courses_of(course.person_id)) < 2:
        return {}
    return {"of_side": side_of(work.programme_of(course), course.side)}


def step_facts(programme: Programme, number: int, episode: Episode | None = None) -> StepFacts:
    """A step as it is printed; of an episode that stands on it with that person's own dose and gate."""
    step, above = programme.step(number), programme.steps[number : number + 1]
    dose = training_dose(programme, episode) if episode else step.dose
    gates = [gate for each in above for gate in (gates_into(each, episode) if episode else each.gates)]
    return StepFacts(
        dose=dose_facts(programme, dose, how=True),
        rhythm=(True,) if episode and episode.eased_since else step.rhythm,
        least_days=int(step.least_days.value),
        training_days=int(step.training_days.value) if step.training_days else None,
        mean_days=int(programme.rule.advance.gate_days.value),
        onward=tuple(gates),
        last=not above,
    )


def sheet_facts(work: Work, person: Person, course: Course) -> dict[str, object]:
    """The present step of a course on paper."""
    programme = work.programme_of(course)
    clinic = work.uow.clinics.get()
    step = step_facts(programme, course.episode.step, course.episode)
    return {
        "step": step, "dose": step.dose, "side": course.side, "made": work.now,
        "day": local_date(work.now, person.zone), "clinic": clinic.name if clinic else "",
        "emergency": clinic.emergency if clinic else "",
    }  # fmt: skip


def why_no_sets(episode: Episode, today: dt.date) -> str:
    """Why no sets are asked for: "danger", "staff", "questions" that are open, an "injection"; "" where they are."""
    for why, holds in (
        ("danger", episode.paused_for is not None),
        ("staff", episode.stopped is not None),
        ("questions", episode.signs_asked is not None),
        ("injection", is_unloaded(episode, today)),
    ):
        if holds:
            return why
    return ""


def reason_facts(programme: Programme, reason: Reason) -> ReasonFacts:
    """One reason: its code, its numbers, and each figure with where it comes from."""
    return ReasonFacts(reason.code, dict(reason.numbers), figure_facts(programme, reason.figures))


def figure_facts(programme: Programme, figures: Iterable[Figure]) -> tuple[FigureFacts, ...]:
    """Numbers of the programme with where each comes from, citations included."""
    return tuple(
        FigureFacts(figure.name, figure.value, figure.provenance, figure.rows, programme.cited(figure))
        for figure in figures
    )


def decision_facts(programme: Programme, decision: Decision, before: Episode | None = None) -> DecisionFacts:
    """A decision as it is told to the person it is about; with the load it started from where `before` is given."""
    return DecisionFacts(
        date=decision.date,
        for_date=decision.for_date,
        move=decision.move,
        dose=dose_facts(programme, decision.dose) if decision.dose else None,
        reasons=tuple(reason_facts(programme, reason) for reason in decision.reasons),
        flag=decision.flag,
        ask_red_flags=decision.ask_red_flags,
        see_clinician=decision.see_clinician,
        ask_weight=decision.ask_weight,
        look_weeks=_look_weeks(programme, decision),
        load_g=decision.after.load_g,
        load_before_g=before.load_g if before else None,
    )


def _look_weeks(programme: Programme, decision: Decision) -> int | None:
    """The week of the course at which too little change was found tonight; None on every other evening."""
    rule = programme.rule.plateau
    looks = {
        NoticeKind.PLATEAU_6_WEEKS: rule.early_days,
        NoticeKind.PLATEAU_12_WEEKS: rule.middle_days,
        NoticeKind.PLATEAU_26_WEEKS: rule.late_days,
    }
    return max((round(looks[kind].value / WEEK_DAYS) for kind in decision.notices if kind in looks), default=None)


def next_gate(programme: Programme, episode: Episode) -> NextGate | None:
    """The next step with the weekly mean the therapist set for it and the programme's own; None at the top.

    Where the programme has several ways in, its own is that of the first, which asks the least of the mean.
    """
    if episode.step >= len(programme.steps):
        return None
    above = programme.step(episode.step + 1)
    own = dict(episode.own_gates).get(above.number)
    return NextGate(above.number, own, above.gates[0].mean.value if above.gates else None)


def course_facts(work: Work, person: Person, course: Course) -> CourseFacts:
    """How the course went until now."""
    today = evening_of(work.now, person.zone)
    diary = past_evenings(work, course, course.episode.started, today)
    until = week_up_to(diary, today)
    decisions = work.uow.decisions.of(course.id)
    programme = work.programme_of(course)
    mean, first = week_of_days(diary, until).mean, course.episode.first_week_mean
    start, afters = decisions[0].before if decisions else course.episode, [each.decision.after for each in decisions]
    return CourseFacts(
        days=_days(diary, until),
        bands=steps_between(start, afters, start.since, max(today, course.episode.since)),
        flares=flares_of(each.decision for each in decisions),
        injections=tuple(each.date for each in decisions if each.kind == "injection"),
        loads=_loads(decisions),
        step=course.episode.step,
        steps=programme.rungs,
        week=week_number(course.episode.started, today),
        mean=mean,
        first_mean=first,
        compared=None if mean is None or first is None else _compared(programme, first, mean),
        load_g=course.episode.load_g,
        next_step=_next_step(programme, course.episode, today),
        sets=fortnight(diary, until),
    )


def _compared(programme: Programme, first: float, mean: float) -> Compared | None:
    if programme.progress is None:
        return None
    apart, matters = figure_facts(programme, (programme.progress.apart, programme.progress.matters))
    return Compared(told_apart(programme.progress, first, mean), round(mean, 1) - round(first, 1), apart, matters)


def _loads(decisions: tuple[StoredDecision, ...]) -> tuple[tuple[dt.date, int], ...]:
    """The own weight in grams, each from the day on from which it is another one; 0: none."""
    held, loads = 0, list[tuple[dt.date, int]]()
    for each in decisions:
        if each.decision.after.load_g != held:
            held = each.decision.after.load_g
            loads.append((each.decision.for_date, held))
    return tuple(loads)


def _next_step(programme: Programme, episode: Episode, today: dt.date) -> NextStep | None:
    """Nothing is promised to who is stopped, or waits for a first day."""
    waits = is_stopped(episode) or episode.signs_asked is not None or episode.started > today
    if waits or episode.step >= len(programme.steps):
        return None
    above, here = programme.step(episode.step + 1), programme.step(episode.step)
    return NextStep(above.number, programme.rungs, above.key, programme.said(f"step.{above.key}"), here.passed_days)


def outcomes_of(uow: UnitOfWork, course: Course) -> list[OutcomeScore]:
    """The person's scores, without those of an open course of the other side."""
    others = {each.id for each in uow.diary.courses_of(course.person_id)} - {course.id}
    return [each for each in uow.people.outcomes(course.person_id) if each.course_id not in others]


def past_evenings(work: Work, course: Course, since: dt.date, today: dt.date) -> tuple[Evening, ...]:
    """The diary from `since` on, without tonight's question while it is still open."""
    diary = work.uow.diary.evenings(course.id, since, today)
    if diary and diary[-1].date == today and diary[-1].pain is None and diary[-1].sets_done is None:
        return diary[:-1]
    return diary


def _days(diary: tuple[Evening, ...], until: dt.date) -> tuple[tuple[dt.date, int | None, bool], ...]:
    """The evenings; the last one that is over ends them in any case, since weeks are counted back from it."""
    days = tuple((each.date, each.pain, each.asked) for each in diary)
    return days if not diary or diary[-1].date >= until else (*days, (until, None, False))
