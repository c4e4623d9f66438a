"""The rule with one of its parts switched off, by the programme's values alone."""

from dataclasses import replace

from core.model import Figure
from core.programme import Programme, Step

_NEVER = 1e6  # points, days or evenings that nobody reaches


def without_each(programme: Programme) -> dict[str, Programme]:
    """The programme once for each part that can be switched off, by `without.` and that part's name."""
    rule = programme.rule
    flare, weeks, ceiling, severe, gap = rule.flare, rule.weeks, rule.ceiling, rule.severe, rule.gap
    off = {
        "flare": replace(rule, flare=replace(flare, limit=_at(flare.limit, _NEVER))),
        "week_up": replace(rule, weeks=replace(weeks, up=_at(weeks.up, _NEVER))),
        "ceiling": replace(
            rule,
            ceiling=replace(ceiling, day=_at(ceiling.day, _NEVER), week=_at(ceiling.week, _NEVER)),
        ),
        "severe": replace(rule, severe=replace(severe, limit=_at(severe.limit, _NEVER))),
        "gap": replace(
            rule,
            gap=replace(
                gap,
                ease_days=_at(gap.ease_days, _NEVER),
                back_days=_at(gap.back_days, _NEVER),
                back_two_days=_at(gap.back_two_days, _NEVER),
                restart_days=_at(gap.restart_days, _NEVER),
            ),
        ),
        "ratings": replace(rule, advance=replace(rule.advance, ratings=_at(rule.advance.ratings, 1))),
    }
    programmes = {name: replace(programme, rule=one) for name, one in off.items()}
    programmes["ceiling"] = replace(
        programmes["ceiling"], steps=tuple(replace(step, back_above=None) for step in programme.steps)
    )
    programmes["sets"] = replace(
        programme, steps=tuple(replace(step, training_days=None) for step in programme.steps)
    )
    programmes["gates"] = replace(programme, steps=tuple(_ungated(step) for step in programme.steps))
    return {f"without.{name}": each for name, each in programmes.items()}


def _at(figure: Figure, value: float) -> Figure:
    return replace(figure, value=float(value))


def _ungated(step: Step) -> Step:
    return replace(step, gates=tuple(replace(gate, mean=_at(gate.mean, 10)) for gate in step.gates))
