"""Decisions, doses and evenings as they are worded."""

from collections.abc import Iterable
from typing import Any

from core.facts import DoseFacts, FigureFacts, ReasonFacts
from core.model import Decision, Dose, Episode, Figure, NoticeKind, Reason
from core.programme import Programme
from core.records import CheckIn


def dose_facts(programme: Programme, dose: Dose, *, how: bool = False) -> DoseFacts:
    """A dose with the programme's words for it in every language; with `how` also those that say how it is done."""
    step = programme.step(dose.step)
    names = ["site", "both_sides", f"step.{step.key}"]
    held = [one for one in programme.equipment if one.most_g is None or dose.load_g <= one.most_g.value]
    if how:
        names += ["release", "stop", "condition", "call", "equipment"]
        names += ["limb", "picture", *(f"exercise.{each.key}" for each in dose.exercises)]
    return DoseFacts(
        step=dose.step,
        steps=sum(not each.maintenance for each in programme.steps),
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


def reason_facts(programme: Programme, reason: Reason) -> ReasonFacts:
    """One reason: its code, its numbers, and each figure with where it comes from."""
    return ReasonFacts(reason.code, dict(reason.numbers), figure_facts(programme, reason.figures))


def figure_facts(programme: Programme, figures: Iterable[Figure]) -> tuple[FigureFacts, ...]:
    """Numbers of the programme with where each comes from, citations included."""
    return tuple(
        FigureFacts(figure.name, figure.value, figure.provenance, figure.rows, _cited(programme, figure))
        for figure in figures
    )


def _cited(programme: Programme, figure: Figure) -> tuple[str, ...]:
    return tuple(source.citation for source in map(programme.source, figure.rows) if source.citation)


def decision_facts(programme: Programme, decision: Decision, before: Episode | None = None) -> dict[str, Any]:
    """A decision as it is told to the person it is about; with the load it started from where `before` is given."""
    return {
        "date": decision.date,
        "for_date": decision.for_date,
        "move": decision.move.value,
        "dose": dose_facts(programme, decision.dose) if decision.dose else None,
        "reasons": [reason_facts(programme, reason) for reason in decision.reasons],
        "flag": decision.flag.value if decision.flag else None,
        "ask_red_flags": decision.ask_red_flags,
        "see_clinician": decision.see_clinician,
        "ask_weight": decision.ask_weight,
        "look_weeks": _look_weeks(programme, decision),
        "load_g": decision.after.load_g,
        "load_before_g": before.load_g if before else None,
    }


def _look_weeks(programme: Programme, decision: Decision) -> int | None:
    """The week of the course at which too little change was found tonight; None on every other evening."""
    rule = programme.rule.plateau
    looks = {
        NoticeKind.PLATEAU_6_WEEKS: rule.early_days,
        NoticeKind.PLATEAU_12_WEEKS: rule.middle_days,
        NoticeKind.PLATEAU_26_WEEKS: rule.late_days,
    }
    return max((round(looks[kind].value / 7) for kind in decision.notices if kind in looks), default=None)


def check_in_facts(check_in: CheckIn) -> dict[str, Any]:
    """One evening's question and answer."""
    return {
        "check_in": check_in.id,
        "date": check_in.date,
        "sets_asked": check_in.sets_asked,
        "pain": check_in.pain,
        "sets_done": check_in.sets_done,
        "sets_guided": check_in.sets_guided,
    }

