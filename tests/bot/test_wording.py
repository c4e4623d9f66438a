"""Every message can be worded: each kind, each step, each reason; no text is missing and none is left over.

The limits are the messaging service's own (64 bytes for a button's data, Bot API, InlineKeyboardButton) and ours (700
characters for what a tired person reads in the evening: judgement).
"""

import ast
import dataclasses
import datetime as dt
import itertools
import random
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any
from zoneinfo import available_timezones

import pytest

from bot.conversation.enrol import GROUPS
from bot.run.app import random_id
from bot.wording.catalogue import text_in
from bot.wording.evening import ALSO_TOLD
from bot.wording.messages import MESSAGES, in_words
from bot.wording.reasons import for_staff
from core.facts import DoseFacts, ReasonFacts
from core.model import Dose, Evening, Move, Provenance, ReasonCode
from core.programme import Step
from core.programme.file import default_programme
from core.rule import begin, dose_on
from core.understanding import STOPPING, Circumstance, Question, Unclear, Urgency
from core.use_cases.gathering import decision_facts, dose_facts, figure_facts, side_of
from tests.builders import a_check_in, a_decision
from tests.catalogue_rules import FOLDER, key, load
from tests.courses import live, said

ROOT = Path(__file__).parents[2]
PROGRAMME = default_programme()
CATALOGUE = load(FOLDER / "en" / "LC_MESSAGES" / "holdlower.po")
TEXT_OF = {key(message): str(message.string) for message in CATALOGUE if message.id}
KEYS = set(TEXT_OF)
CHECK_IN = random_id()
TODAY = dt.date(2026, 9, 23)
LONGEST = 700
FIGURES = figure_facts(PROGRAMME, PROGRAMME.figures[:2])


def nodes() -> list[tuple[str, ast.expr]]:
    """Every call and every text of the source, and where it stands."""
    files = sorted(path for folder in ("bot", "core") for path in (ROOT / folder).rglob("*.py"))
    return [
        (f"{path.relative_to(ROOT)}:{node.lineno}", node)
        for path in files
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call | ast.Constant | ast.JoinedStr)
    ]


NODES = nodes()


def few_sets(dose: Dose) -> Dose:
    """The dose with one set of everything that it counts."""
    return dataclasses.replace(
        dose, exercises=tuple(dataclasses.replace(each, sets=min(each.sets, 1)) for each in dose.exercises)
    )


def doses(step: Step) -> list[DoseFacts]:
    """What a step can ask of a day: as light and as heavy as it gets, a rest day, and a day of half the sets."""
    heavy = dataclasses.replace(step.dose, load_g=step.cap_g or step.dose.load_g)
    half = few_sets(dataclasses.replace(PROGRAMME.step(step.holds).dose, step=step.number))
    return [dose_facts(PROGRAMME, dose, how=True) for dose in (step.dose, heavy, step.rest, half)]


DOSES = {step.number: doses(step) for step in PROGRAMME.steps}
MOVES = (Move.HOLD, Move.ADVANCE, Move.REGRESS)


def reason(code: ReasonCode) -> ReasonFacts:
    """A reason with every number that a text of its code may ask for, as large as they come."""
    names = re.findall(r"{(\w+)}", TEXT_OF[f"because.{code.value}"])
    numbers = dict.fromkeys(names, 10.25) | {name: 1500 for name in names if name in ("grams", "load")}
    return ReasonFacts(code, numbers, FIGURES)


def outcome(dose: DoseFacts | None, reasons: list[ReasonFacts], **more: Any) -> dict[str, object]:
    check_in = a_check_in(id=CHECK_IN, pain=10, sets_done=5, sets_asked=5, date=TODAY)
    plain = decision_facts(PROGRAMME, a_decision(date=TODAY, for_date=TODAY + dt.timedelta(days=1)))
    decided = dataclasses.replace(plain, reasons=tuple(reasons), dose=dose, **more)
    return {"check_in": check_in, "decided": decided, "emergency": "", "changed": True}


def assert_sendable(kind: str, facts: Mapping[str, object], longest: int = 4096) -> str:
    shown = in_words(kind, "en", facts)
    assert 0 < len(shown.text) <= longest, f"{kind}: {len(shown.text)} characters\n{shown.text}"
    assert "{" not in shown.text
    for button in (button for row in shown.buttons for button in row):
        assert len(button.data.encode()) <= 64, button
        assert button.label.strip()
    return shown.text


@pytest.mark.parametrize("code", ReasonCode)
def test_every_reason_can_be_told_on_every_step_and_stays_short(code: ReasonCode):
    reasons = [reason(code), *[reason(ReasonCode(each)) for each in ALSO_TOLD if each != code.value][:2]]
    for number, dose in enumerate(dose for step in PROGRAMME.steps for dose in DOSES[step.number]):
        facts = outcome(dose, reasons, move=MOVES[number % len(MOVES)], see_clinician=True)
        assert_sendable("evening.outcome", facts, LONGEST)
    first = DOSES[1][0]
    for move in MOVES:
        facts = outcome(first, reasons, move=move, see_clinician=True, ask_red_flags=True)
        assert_sendable("evening.outcome", facts | {"changed": False}, LONGEST)
    told = outcome(first, [reason(code)], ask_red_flags=True)
    back = {"dose": first, "decided": told["decided"], "evening": dt.time(19), "away": True}
    assert_sendable("away.back", back, LONGEST)
    assert_sendable("danger.cleared", back, LONGEST)
    for asked in (True, False):
        gap = {"check_in": told["check_in"], "decided": told["decided"], "asked": asked}
        assert_sendable("evening.gap", gap, LONGEST)


@pytest.mark.parametrize("step", PROGRAMME.steps, ids=lambda step: step.key)
def test_every_step_can_be_asked_about_and_explained(step: Step):
    figures = [figure for figure in PROGRAMME.figures if figure.name.startswith(f"step[{step.number}].")]
    for dose in DOSES[step.number]:
        check_in = a_check_in(id=CHECK_IN, date=TODAY, sets_asked=dose.asked)
        assert_sendable("evening.ask", {"check_in": check_in, "dose": dose}, LONGEST)
        assert_sendable("today", {"dose": dose, "date": TODAY, "today": TODAY}, LONGEST)
        assert_sendable("how", {"dose": dose})
        for high, waits in itertools.product((True, False), (14, 1, 0)):
            done = {"dose": dose, "first": TODAY, "evening": dt.time(19), "sides": [(side_of(PROGRAMME, "left"), dose)]}
            assert_sendable("enrol.done", done | {"high": high, "waits": waits}, LONGEST)
        reasons = tuple(reason(code) for code in ReasonCode)[:6]
        decided = dataclasses.replace(decision_facts(PROGRAMME, a_decision()), reasons=reasons)
        told = {"decided": decided, "dose": dose, "figures": figure_facts(PROGRAMME, figures)}
        assert_sendable("why", told)
        assert_sendable("why", told | {"decided": None})


@pytest.mark.parametrize("seed", range(4))
def test_whatever_the_rule_really_decides_can_be_told(seed: int):
    dice = random.Random(seed)
    base = dice.choice((1, 3, 6))

    def answer(day: int, dose: object) -> Evening | None:
        drift = base - day / 40 + (4 if dice.random() < 0.04 else 0)
        pain = min(max(round(dice.gauss(drift, 1.2)), 0), 10)
        return dice.choices((said(pain), said(pain, 1), said(None, None), None), (40, 4, 3, 1))[0]

    codes = set()
    for _, decision in live(260, answer):
        facts = outcome(None, []) | {"decided": decision_facts(PROGRAMME, decision)}
        assert_sendable("evening.outcome", facts, LONGEST)
        codes |= {each.code for each in decision.reasons}
    assert len(codes) > 6


def test_every_question_of_an_unclear_answer_can_be_put():
    for question, why, asked in itertools.product(Question, Unclear, (0, 1, 5)):
        check_in = a_check_in(id=CHECK_IN, sets_asked=asked)
        for known in (check_in, dataclasses.replace(check_in, pain=4), dataclasses.replace(check_in, sets_done=asked)):
            for unclear in ([["pain", why.value], ["sets", why.value]], []):
                facts = {"check_in": known, "question": question.value, "unclear": unclear}
                assert_sendable("evening.again", facts, LONGEST)


ONE_OF_MANY = re.compile(r"(?<![\d.,])1 (?:more |very |bad )*(?:set|hold|day|evening|week|second|step|number|time)s\b")


def test_one_is_never_told_as_if_it_were_many():
    """Every reason, question and dose with as little of everything as there can be."""
    texts = []
    for dose in (dose_facts(PROGRAMME, few_sets(PROGRAMME.step(number).dose), how=True) for number in (1, 4, 8)):
        texts += [assert_sendable("how", {"dose": dose})]
        for code in ReasonCode:
            both = TEXT_OF[f"because.{code.value}"] + TEXT_OF[f"therapist.because.{code.value}"]
            # lengths that a programme sets for a stretch of evenings are never a single one
            names = re.findall(r"{(\w+)}", both)
            why = ReasonFacts(code, {name: 14 if name in ("least", "window") else 1 for name in names}, FIGURES)
            texts.append(assert_sendable("evening.outcome", outcome(dose, [why])))
            texts.append(for_staff(text_in("en"), why))
    for done, pain, question, unclear in itertools.product((None, 0, 1), (None, 4), Question, Unclear):
        one = a_check_in(id=CHECK_IN, sets_asked=1, sets_done=done, pain=pain, date=TODAY)
        check_in: dict[str, object] = {"check_in": one}
        more: dict[str, dict[str, object]] = {"confirm": {"new_pain": 1, "new_sets": 1}, "earlier": {"tonight": one}}
        again = {"question": question.value, "unclear": [["sets", unclear.value]]}
        texts.append(assert_sendable("evening.again", check_in | again))
        for kind in ("remind", "sets", "pain"):
            texts.append(assert_sendable(f"evening.{kind}", check_in))
        for kind in ("same", "kept", "confirm", "earlier", "not_clear", "ask"):
            texts.append(assert_sendable(f"change.{kind}", check_in | more.get(kind, {})))
    assert [text for text in texts if ONE_OF_MANY.search(text)] == []
    assert ONE_OF_MANY.search("for 1 more days"), "the search finds what it is for"
    assert not ONE_OF_MANY.search("step 1 of 8, 11 days")


def test_a_button_for_any_town_fits():
    for kind in ("enrol.city", "zone.near"):
        assert_sendable(kind, {"zones": sorted(available_timezones()), "zone": "Europe/Lisbon"}, 10_000)


@pytest.mark.parametrize(
    ("prefix", "members"),
    [
        ("because", [code.value for code in ReasonCode]),
        ("unclear", [why.value for why in Unclear]),
        ("outcome", [move.value for move in Move if move != Move.PAUSE]),  # a stop has words of its own
        ("danger", ["urgent", "distress", "circulation", "red_flag.today", "red_flag.soon", *STOPPING]),
        ("told", [each for each in Circumstance if each not in STOPPING]),
        ("notice.circumstance", list(Circumstance)),
        ("notice.danger.red_flag", list(Urgency)),
        ("screen", [*GROUPS, *(item for group in GROUPS.values() for item in group.items)]),
        ("evening.again", [question.value for question in Question]),
        ("why.from", [each.value.replace(" ", "_") for each in Provenance]),
    ],
)
def test_each_member_of_a_family_of_texts_is_there(prefix: str, members: list[str]):
    assert {f"{prefix}.{member}" for member in members} <= KEYS


def calls(*names: str, place: int = 0) -> list[tuple[str, ast.expr]]:
    """Where something of those names is called, and its first argument, or the one at that place."""
    called = ((where, node) for where, node in NODES if isinstance(node, ast.Call) and len(node.args) > place)
    return [
        (where, node.args[place])
        for where, node in called
        if getattr(node.func, "attr", getattr(node.func, "id", "")) in names
    ]


def plain(argument: ast.expr) -> list[str]:
    """The texts an argument can be, where it says so itself: "a", or "a" if ... else "b"."""
    if isinstance(argument, ast.IfExp):
        return plain(argument.body) + plain(argument.orelse)
    return [argument.value] if isinstance(argument, ast.Constant) and isinstance(argument.value, str) else []


def _queued() -> set[tuple[str, str]]:
    """Where a use case queues a message, and of which kind."""
    queued = [*calls("queue", "tell", "tell_person", "tell_staff", place=2), *calls("_queue", place=3)]
    return {(where, kind) for where, argument in queued for kind in plain(argument)}


def test_every_kind_that_is_said_has_words():
    patients = [each for each in calls("say") if "/staff/" not in each[0]]
    said_kinds = {(where, kind) for where, argument in patients for kind in plain(argument)}
    said_kinds |= _queued()
    assert len(said_kinds) > 80
    assert {each for each in said_kinds if each[1] not in MESSAGES and each[1] not in KEYS} == set()


def test_every_text_asked_for_by_its_key_is_in_the_catalogue():
    of_bot = [each for each in calls("text", "many", "typed") if each[0].startswith("bot/")]  # in core it is SQL
    asked = {(where, name) for where, argument in of_bot for name in plain(argument)}
    assert len(asked) > 100
    assert {each for each in asked if each[1] not in KEYS} == set()


def patterns() -> set[str]:
    """Every f-string in the code, its gaps open; those that say nothing but their dots are left out."""
    labels = (argument for _, argument in calls("choices", place=3))  # of a row of answers
    found = {re.escape(f"{family}.") + ".+" for argument in labels for family in plain(argument)}
    for node in (node for _, node in NODES if isinstance(node, ast.JoinedStr)):
        parts = [str(part.value) if isinstance(part, ast.Constant) else None for part in node.values]
        if sum(len(part.strip(". ")) for part in parts if part) >= 3:
            found.add("".join(".+" if part is None else re.escape(part) for part in parts))
    return found


def left_over(names: set[str]) -> list[str]:
    """Those of the names that no text in the code is, or can become."""
    whole = {node.value for _, node in NODES if isinstance(node, ast.Constant)}
    known = re.compile("|".join(f"(?:{pattern})" for pattern in patterns() if "\n" not in pattern))
    return sorted(name for name in names - whole if not known.fullmatch(name))


def test_no_text_of_the_catalogue_is_left_over():
    assert left_over(KEYS | {"nobody.says" + ".this"}) == ["nobody.says" + ".this"]


def test_a_text_that_is_missing_is_noticed():
    assert calls("text"), "the walk finds calls at all"
    assert plain(ast.parse("'a' if x else 'b'", mode="eval").body) == ["a", "b"]
    assert "because\\..+" in patterns()


def test_the_first_dose_of_either_beginning_can_be_told():
    for rating in (0, 10):
        episode = begin(PROGRAMME, TODAY, rating)
        assert_sendable("how", {"dose": dose_facts(PROGRAMME, dose_on(PROGRAMME, episode, TODAY), how=True)})
