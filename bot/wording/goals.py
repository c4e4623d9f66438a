"""What people want to do again: the questions, and what their answers come to, for them and for the therapist."""

from collections.abc import Mapping
from typing import Any

from bot.wording.attention import signed
from bot.wording.catalogue import Text
from bot.wording.filling import isolated
from core.facts import GoalFacts
from core.records import Button, Worded
from core.scores.goals import CHANGE_MOST, HIGHEST

Facts = Mapping[str, Any]
A_ROW = 6


def goal_lines(text: Text, told: GoalFacts) -> list[str]:
    """Each goal with its ratings, and what the change of them is worth; nothing where none was named."""
    lines = [_goal(text, "goals.line", *each) for each in told.goals]
    if lines:
        lines.insert(0, text("goals.head"))
    if change := told.change:
        first, now = text.number(change.first), text.number(change.now)
        lines.append(text(f"goals.{change.verdict}", first=first, now=now))
    if told.overall:
        lines.append(text("goals.overall", week=told.overall[0], change=signed(text, told.overall[1], 0)))
    return lines


def goals_for_staff(text: Text, told: GoalFacts, score_due: int | None = None) -> list[str]:
    """The same in the trade's words, and whether the clinic's questionnaire is due."""
    lines = [_goal(text, "therapist.goals.line", *each) for each in told.goals]
    if lines:
        lines.insert(0, text("therapist.goals.head"))
    if change := told.change:
        shown = {"first": text.number(change.first), "now": text.number(change.now)}
        needed = text.number(change.by.value)
        lines.append(text(f"therapist.goals.{change.verdict}", **shown, needed=needed, week=told.week))
    if told.overall:
        lines.append(text("therapist.goals.overall", week=told.overall[0], change=signed(text, told.overall[1], 0)))
    if score_due:
        lines.append(text("therapist.goals.score_due", week=score_due))
    return lines


def _goal(text: Text, key: str, goal: str, first: int | None, now: int | None) -> str:
    unknown = text("goals.unrated")
    shown = {"goal": isolated(goal), "first": unknown if first is None else first}
    return text(key, **shown) if now is None else text(f"{key}.now", **shown, now=now)


def _rate(text: Text, facts: Facts) -> Worded:
    words = text("goals.rate", goal=isolated(facts["goal"]))
    return Worded(words, _numbers(facts, [(str(n), n) for n in range(HIGHEST + 1)]))


def _change(text: Text, facts: Facts) -> Worded:
    shown = [(signed(text, n, 0), n) for n in range(-CHANGE_MOST, CHANGE_MOST + 1)]
    return Worded(text("goals.change"), _numbers(facts, shown))


def _numbers(facts: Facts, shown: list[tuple[str, int]]) -> tuple[tuple[Button, ...], ...]:
    buttons = [Button(label, f"1.o.{facts['review']}.{facts['question']}.{n}") for label, n in shown]
    return tuple(buttons[:A_ROW]), tuple(buttons[A_ROW:])


def _offer(text: Text, facts: Facts) -> Worded:
    return Worded(text("goals.offer", most=facts["most"]), (_buttons(text, "add", "later"),))


def _name(text: Text, facts: Facts) -> Worded:
    return Worded(text("goals.name"), (_buttons(text, "later"),))


def _list(text: Text, facts: Facts) -> Worded:
    lines = goal_lines(text, facts["goals"])
    if facts["asked_again"] and not lines:
        lines = [text("goals.thanks")]
    if facts["more"]:
        lines += ["", text("goals.more")]
    elif facts["asked_again"]:
        lines += ["", text("goals.form")]
    verbs = [*(["add", "done"] if facts["more"] else []), *(["anew"] if facts["anew"] else [])]
    return Worded("\n".join(lines), (_buttons(text, *verbs),) if verbs else ())


def _buttons(text: Text, *verbs: str) -> tuple[Button, ...]:
    return tuple(Button(text(f"goals.button.{verb}"), f"1.o.{verb}") for verb in verbs)


GOALS = {"goals.offer": _offer, "goals.name": _name, "goals.rate": _rate, "goals.change": _change, "goals.list": _list}
