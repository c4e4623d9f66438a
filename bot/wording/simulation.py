"""What `holdlower simulate` prints, and the words of its picture."""

import math
from collections.abc import Iterator, Sequence

from bot.drawn.course import Mark, RuleFacts, RulePanel
from bot.wording.catalogue import Text
from core.simulation.cohort import KNOWN, LEARNT, LIKELIHOOD, RULE, Sample, passed_days
from core.simulation.detectors import HAND
from core.simulation.measures import Estimate, Places, Quality, Steps, best_at, curve, places, quality, steps
from core.simulation.people import Course

AIM = 0.15  # so much later than the best possible the rule may be
PICTURED_SPREAD = 1.0
NAME, WIDE, NARROW, EACH = 30, 18, 15, 17  # columns


def report_lines(text: Text, samples: Sequence[Sample]) -> Iterator[str]:
    """Everybody by course and noise, each rule beside the others; then in short, as the README has it."""
    for course, spread, people in groups(samples):
        yield ""
        yield text(f"cli.simulate.{course.value}", spread=spread, people=len(people))
        yield from _head(text)
        own = quality(people, RULE)
        yield _row(text("cli.simulate.rule"), own)
        for name in HAND:
            yield _row(text(f"cli.simulate.{name}"), quality(people, name))
        for name in (LEARNT, KNOWN, LIKELIHOOD):
            yield _row(text(f"cli.simulate.{name}"), best_at(people, name, own.false_calls.value))
        yield from _steps(text, steps(people, RULE), own, course)
        if course is Course.IMPROVING:
            yield "  " + text("cli.simulate.places", **_places(places(people, RULE)))
    yield from ("", text("cli.simulate.below"), "")
    yield from summary_lines(text, samples)
    yield ""
    yield from place_lines(text, samples)
    yield from passed_lines(text, samples)


def summary_lines(text: Text, samples: Sequence[Sample]) -> Iterator[str]:
    """The rule alone as a table in Markdown."""
    yield text("cli.simulate.summary")
    yield "| --- | --- | --- | --- | --- | --- |"
    for course, spread, people in groups(samples):
        own = quality(people, RULE)
        cells = (
            f"{text(f'cli.simulate.short.{course.value}')}, {spread:g}",
            _estimate(own.false_calls),
            _share(own.soon),
            _share(own.in_a_week),
            _estimate(own.delay),
            _beside(own.beside_best),
        )
        yield f"| {' | '.join(cells)} |"


def place_lines(text: Text, samples: Sequence[Sample]) -> Iterator[str]:
    """Where those who improve are at the end, as a table in Markdown."""
    yield text("cli.simulate.where")
    yield "| --- | --- | --- | --- | --- | --- | --- | --- | --- |"
    for course, spread, people in groups(samples):
        if course is Course.IMPROVING:
            yield text("cli.simulate.where.row", spread=f"{spread:g}", **_places(places(people, RULE)))


def passed_lines(text: Text, samples: Sequence[Sample]) -> Iterator[str]:
    """How long each step took, as a programme's file keeps it; nothing where nobody was followed long enough."""
    if passed := passed_days(samples):
        yield from ("", text("cli.simulate.passed"))
    for step, (half, most) in passed.items():
        yield text("cli.simulate.passed.row", step=step, half=half, most=most)


def _places(found: Places) -> dict[str, str]:
    one, two = found.faithful
    return {
        "better": f"{100 * found.better[0]:.0f}",
        "later": f"{100 * found.better[1]:.0f}",
        "lowering": _weeks(found.weeks_to_lowering),
        "one": _share(found.one_kilo),
        "two": _share(found.two_kilos),
        "seven": _share(found.step_seven),
        "faithful_one": _share(one),
        "faithful_two": _share(two),
        "sets": _share(found.sets_alone),
        "lost": _weeks(found.lost_weeks),
        "told": _share(found.told_at_12),
    }


def _weeks(weeks: float) -> str:
    return "-" if math.isnan(weeks) else f"{weeks:.1f}"


def ablation_lines(text: Text, samples: Sequence[Sample]) -> Iterator[str]:
    """What each part of the rule buys: everybody together, with that part switched off."""
    yield ""
    yield from text("cli.simulate.without").splitlines()
    halves = {course: [one for one in samples if one.course is course] for course in Course}
    for name in samples[0].rules:
        if name in HAND:
            continue
        stable, improving = (quality(halves[course], name) for course in Course)
        climb = steps(halves[Course.IMPROVING], name)
        cells = (
            f"{stable.false_calls.value:.1f} {improving.false_calls.value:.1f}",
            f"{stable.delay.value:.1f} {improving.delay.value:.1f}",
            f"{100 * climb.unsafe.value:.1f}",
            f"{100 * climb.unpractised.value:.1f}",
            f"{climb.heavy:.2f}",
            f"{100 * climb.at_top.value:.0f}",
        )
        label = text(f"cli.simulate.{name}")
        yield f"  {label:<{NAME}}" + "".join(f"{cell:>{EACH}}" for cell in cells)


def picture_facts(text: Text, samples: Sequence[Sample]) -> RuleFacts:
    """Both courses at the middle noise: the best possible as a curve, every rule as a mark."""
    panels = []
    for course, spread, people in groups(samples):
        if spread != PICTURED_SPREAD:
            continue
        marks = [_mark(text("cli.simulate.picture.rule"), quality(people, RULE), own=True)]
        marks += [_mark(text(f"cli.simulate.picture.{name}"), quality(people, name)) for name in HAND]
        title = text(f"cli.simulate.picture.{course.value}")
        panels.append(RulePanel(title, curve(people, KNOWN), tuple(marks)))
    words = {name: text(f"cli.simulate.picture.{name}") for name in ("title", "across", "up", "best", "aimed")}
    return RuleFacts(**words, aim=AIM, panels=tuple(panels))


def groups(samples: Sequence[Sample]) -> Iterator[tuple[Course, float, list[Sample]]]:
    """The people of each course and noise, in the order in which they are told."""
    for course in Course:
        for spread in sorted({one.spread for one in samples}):
            yield course, spread, [one for one in samples if one.course is course and one.spread == spread]


def _mark(name: str, found: Quality, *, own: bool = False) -> Mark:
    return Mark(name, found.false_calls.value, found.delay.value, own)


def _head(text: Text) -> Iterator[str]:
    yield from text("cli.simulate.columns").splitlines()


def _row(name: str, found: Quality) -> str:
    cells = f"{_estimate(found.false_calls):<{WIDE}}{_share(found.soon):<{NARROW}}{_share(found.in_a_week):<{NARROW}}"
    return f"  {name:<{NAME}}{cells}{_estimate(found.delay):<{WIDE}}{_beside(found.beside_best)}".rstrip()


def _steps(text: Text, found: Steps, own: Quality, course: Course) -> Iterator[str]:
    reasons = ", ".join(f"{text(f'cli.simulate.why.{code.value}')} {rate:.1f}" for code, rate in found.reasons.items())
    yield "  " + text("cli.simulate.reasons", reasons=reasons, bouts=f"{own.in_bouts:.1f}", gaps=f"{found.gaps:.1f}")
    if course is Course.IMPROVING:
        yield "  " + text("cli.simulate.climb", moves=found.advances, unsafe=_share(found.unsafe, 1),
                          point=_share(found.unsafe_by_a_point, 1), top=_share(found.at_top),
                          week="-" if math.isnan(found.weeks_to_top) else f"{found.weeks_to_top:.0f}")  # fmt: skip


def _estimate(found: Estimate) -> str:
    return f"{found.value:.1f} ({max(found.low, 0):.1f}-{found.high:.1f})"


def _share(found: Estimate, digits: int = 0) -> str:
    low, value, high = (f"{100 * each:.{digits}f}" for each in (found.low, found.value, found.high))
    return f"{value} % ({low}-{high})"


def _beside(found: Estimate) -> str:
    """How much later, in per cent; nothing where the best possible was never tried with so many false alarms."""
    if math.isnan(found.value) or math.isnan(found.low):
        return "-"
    low, value, high = (f"{100 * (each - 1):+.0f}" for each in (found.low, found.value, found.high))
    return f"{value} % ({low} to {high})"
