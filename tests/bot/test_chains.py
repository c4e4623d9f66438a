"""The whole chain of any decision: every reason and number in words, every citation one of the programme's sources."""

import datetime as dt
import itertools
import random
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest

from bot.telegram.channel import LONGEST_TEXT
from bot.telegram.updates import in_pieces, units
from bot.wording.catalogue import text_in
from bot.wording.messages import in_words
from bot.wording.reasons import because, figure_line, figure_words, for_staff
from bot.wording.staff_page import in_full
from core.model import DANGER, Decision, Evening, Figure, Provenance, ReasonCode
from core.page import DecisionLine
from core.rule import (
    answer_weight,
    clear_danger,
    decide,
    deny_signs,
    report_danger,
    report_injection,
    report_weight,
    resume,
)
from core.rule.course import OWN_GATE
from core.rule.dose import Amounts
from core.rule.override import Act, Override, override
from core.understanding import Felt
from core.use_cases.gathering import decision_facts, dose_facts, figure_facts, reason_facts
from core.use_cases.person_page import LAST_DECISIONS
from tests.courses import PROGRAMME, TODAY, back, diary, episode, evening, live, said

TEXT = text_in("en")
LAST = len(PROGRAMME.steps)
CITED = {each.citation for each in PROGRAMME.sources if each.citation}


def courses() -> Iterator[Decision]:
    """Long courses of people who improve, are good or bad at it, and have bad days, gaps and silence."""
    for seed in range(24):
        dice = random.Random(seed)
        base, bad, silent = dice.choice((2, 4, 6)), dice.choice((0.02, 0.1)), dice.choice((0.02, 0.15))

        def answer(day: int, _: object, *, dice: random.Random = dice, plan=(base, bad, silent)) -> Evening | None:
            base, bad, silent = plan
            if dice.random() < silent:
                return dice.choice((None, said(None, None), said(3, 0)))
            if 100 < day < 110 + 3 * base or day % 97 > 90:
                return said(None, None)
            drift = base - day / 60 + (4 if dice.random() < bad else 0)
            return said(min(max(round(dice.gauss(drift, 0.8)), 0), 10), 99 if dice.random() < 0.95 else 1)

        yield from (decision for _, decision in live(300, answer, start_rating=base))


def special() -> Iterator[Decision]:
    """What no evening brings by itself: acts, returns, cleared stops, and states that long courses seldom meet."""
    plain = episode(step=4, days=5)
    for act in (
        Override(Act.UP), Override(Act.BACK), Override(Act.TO, step=2), Override(Act.STOP),
        Override(Act.PIN, until=TODAY + dt.timedelta(days=20)), Override(Act.GATE, step=5, gate=2.5),
        Override(Act.DOSE, amounts=Amounts(750, 2, 8, 3.0)),
    ):  # fmt: skip
        decision = override(PROGRAMME, plain, TODAY, act)
        yield decision
        yield decide(PROGRAMME, decision.after, [], TODAY + dt.timedelta(days=1))
        nights = tuple(evening(-1 - n, 4, 3) for n in range(9))
        yield decide(PROGRAMME, decision.after, nights[:9], TODAY + dt.timedelta(days=9))
    stopped = override(PROGRAMME, plain, TODAY, Override(Act.STOP)).after
    yield override(PROGRAMME, stopped, TODAY, Override(Act.GO_ON))
    gated = override(PROGRAMME, episode(step=4, days=30), back(1), Override(Act.GATE, step=5, gate=2.5)).after
    yield decide(PROGRAMME, gated, tuple(evening(n, 3, 3) for n in range(13, -1, -1)), TODAY)
    for flag in DANGER:
        yield (danger := report_danger(PROGRAMME, plain, TODAY, flag))
        yield decide(PROGRAMME, danger.after, [], TODAY + dt.timedelta(days=1))
        yield clear_danger(PROGRAMME, danger.after, TODAY + dt.timedelta(days=20))
    yield from (resume(PROGRAMME, replace(plain, load_g=900, step=6), TODAY, days) for days in (3, 5, 9, 16, 40))
    yield decide(PROGRAMME, replace(episode(step=LAST, days=90), completed=True), [], TODAY)
    yield (injected := report_injection(PROGRAMME, plain, back(9)))
    for days in (1, 9, 30):
        yield decide(PROGRAMME, injected.after, [replace(evening(0, 3, 3), date=back(9 - days))], back(9 - days))
    yield decide(PROGRAMME, replace(plain, signs_asked=back(1)), [evening(0, 3, 3)], TODAY)
    yield from weights_and_flares()
    yield deny_signs(PROGRAMME, replace(plain, signs_asked=back(1)), [evening(0, 9, 3)], TODAY)


def weights_and_flares() -> Iterator[Decision]:
    calm, lifter = diary(*[3] * 30), episode(step=6, days=20, load_g=900, load_changed=back(9))
    yield (asked := decide(PROGRAMME, lifter, calm, TODAY))
    for felt in Felt:
        yield answer_weight(PROGRAMME, asked.after, calm, TODAY, felt)
    for grams in (1500, 20_000):
        yield report_weight(PROGRAMME, lifter, calm, TODAY, grams)
    for ago in (0, 3):  # a morning that was worse
        worse = tuple(replace(each, woke_worse=each.date == back(ago)) for each in calm)
        yield decide(PROGRAMME, lifter, worse, TODAY)
    for flared in (None, back(20)):
        yield decide(PROGRAMME, replace(lifter, excess=4.5, flared=flared), (*calm[:-1], evening(0, 6, 3)), TODAY)
    for days in (3, 9):
        yield decide(PROGRAMME, replace(lifter, eased_since=back(days)), calm, TODAY)
    yield decide(PROGRAMME, episode(step=5, days=40, gate_tested=back(2), gate_shut=9.0), calm, TODAY)
    silent = diary(*[1] * 21, *[None] * 7, *[2] * 7)
    yield decide(PROGRAMME, episode(step=5, days=40), silent, TODAY)


@cache
def decisions() -> tuple[Decision, ...]:
    return (*courses(), *special())


def test_there_are_decisions_with_every_reason_to_look_at():
    """All but one: a week that rose is told by `week_up` before moving up is looked at."""
    met = {why.code for each in decisions() for why in each.reasons}
    assert set(ReasonCode) - met <= {ReasonCode.STAY_WEEK_UP}


def test_every_number_that_any_reason_was_measured_against_is_the_programmes_own_or_the_therapists():
    used = {figure for each in decisions() for why in each.reasons for figure in why.figures}
    assert len(used) > 40
    assert {figure for figure in used if figure not in PROGRAMME.figures and figure.name != OWN_GATE} == set()
    assert any(figure.name == OWN_GATE for figure in used)


@pytest.mark.parametrize("code", ReasonCode)
def test_a_reason_of_each_kind_is_worded_with_its_numbers_for_both_readers(code: ReasonCode):
    """Whatever numbers the rule gave it, on both readers' sides no gap stays open and each number used is there."""
    reasons = {why for each in decisions() for why in each.reasons if why.code is code}
    for why in reasons:
        facts = reason_facts(PROGRAMME, why)
        for words in (because(TEXT, facts), for_staff(TEXT, facts)):
            assert words.strip()
            assert "{" not in words
    assert TEXT.has(f"therapist.because.{code.value}")


@pytest.mark.parametrize("figure", PROGRAMME.figures, ids=lambda figure: figure.name)
def test_each_number_of_the_programme_has_words_a_value_and_its_sources(figure: Figure):
    """Under any reason: the line of a number is the same whichever reason it stands beside."""
    (facts,) = figure_facts(PROGRAMME, [figure])
    line = figure_line(TEXT, facts)
    words = figure_words(TEXT, figure.name, figure.value)
    assert words in line
    assert figure.name not in words
    assert words.rpartition(":")[0].strip() != "" or figure.name.startswith("every_day[") or "exercise[" in figure.name
    assert set(facts.cited) <= CITED
    if figure.provenance is Provenance.PUBLISHED:
        assert facts.cited
        assert all(citation in line for citation in facts.cited)


def test_words_for_numbers_are_the_catalogues_never_the_files_paths():
    for figure in PROGRAMME.figures:
        path = re.sub(r"\[\d+\]", "", re.sub(r"^step\[\d+\]\.", "", figure.name))
        assert TEXT.has(f"figure.{path}"), figure.name


def longest() -> list[Decision]:
    """The decisions with the most lines in their chains, as many as a page has."""
    lines = {id(each): sum(1 + len(why.figures) for why in each.reasons) for each in decisions()}
    return sorted(decisions(), key=lambda each: -lines[id(each)])[:LAST_DECISIONS]


def of_staff(decision: Decision) -> DecisionLine:
    """A decision as the therapist's page has it; who did it and what they said are tested with the page."""
    reasons = tuple(reason_facts(PROGRAMME, reason) for reason in decision.reasons)
    return DecisionLine("d", decision.date, decision.move, decision.step, reasons)


def test_the_longest_chain_is_sent_whole_in_as_many_messages_as_it_needs():
    page = {"person": "p", "name": "Bricklayer", "page": 1, "pages": 3}
    page["decisions"] = [of_staff(each) for each in longest()]
    worst = longest()[0]
    assert worst.dose
    dose = dose_facts(PROGRAMME, worst.dose)
    figures = [each for each in PROGRAMME.figures if each.name.startswith(f"step[{worst.step}].")]
    why = {"decided": decision_facts(PROGRAMME, worst), "dose": dose, "figures": figure_facts(PROGRAMME, figures)}
    for kind, facts in (("therapist.decisions", page), ("why", why)):
        text = in_words(kind, "en", facts).text
        pieces = in_pieces(text, LONGEST_TEXT)
        assert all(0 < units(piece) <= LONGEST_TEXT for piece in pieces)
        lines = list(itertools.chain.from_iterable(piece.splitlines() for piece in pieces))
        assert [line.strip() for line in lines if line] == [line.strip() for line in text.splitlines() if line]


def test_a_therapists_chain_has_the_numbers_the_thresholds_and_their_sources():
    """Worked by hand from the programme: 3.25 on average after 14 nights enters step 5, whose gate is 4 (P4)."""
    nights = tuple(evening(n, 3 if n % 4 else 4, 3) for n in range(13, -1, -1))
    decision = decide(PROGRAMME, episode(step=4, days=20), nights, TODAY)
    lines = in_full(TEXT, of_staff(decision))
    assert lines[0] == "Mon 29 Jun: up to step 5 - weekly mean 3.3, 20 days on the step, sets done"
    assert "  Week at most, to move up: 4 - common practice" in lines
    assert "  Least days on this step: 14 - a starting guess" in lines
    days = next(line for line in lines if line.startswith("  Days with half of the sets or more, at least"))
    assert days.endswith("a starting guess")
