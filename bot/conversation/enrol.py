"""Enrolment: consent, screening, then which side, the rating now, the zone and the hour, and the first dose."""

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import partial

from bot.conversation import danger, goals, questions, signs
from bot.conversation.talk import PersonTalk
from bot.conversation.typed import read_time, read_zones
from core.model import DANGER, Flag
from core.records import Status
from core.understanding import Question, Urgency
from core.use_cases.enrolling import begin_beside, begin_course, enrolment_of, screen_out
from core.use_cases.gathering import dose_facts, side_of

ANSWERS = ("yes", "no", "unsure")
SIDES = ("left", "right")
BOTH = "both"


@dataclass(frozen=True, slots=True)
class Group:
    """`items` in the order of their buttons; `fine` is the answer that lets the person go on to `then`."""

    items: tuple[str, ...]
    then: str
    fine: str = "no"


GROUPS: Mapping[str, Group] = {
    "fit": Group(("minor", "unseen", "elsewhere"), "signs", fine="yes"),
    "signs": Group(("numb", "weak", "locks", "hot", "injury", "lump", "night"), "past"),
    "past": Group(("surgery", "cancer", "weight", "neck", "joints"), "injection"),
    "heart": Group(("pressure", "heart", "vessel", "eye"), "side"),
}
URGENCIES = dict.fromkeys((*GROUPS["signs"].items, "cancer", "weight", "neck", "joints"), Urgency.SOON) | {
    "hot": Urgency.TODAY, "injury": Urgency.TODAY,
}  # fmt: skip


def welcome(talk: PersonTalk) -> None:
    """Say what this is and is not, and ask for consent."""
    talk.wait_for("enrol", "consent")
    talk.say("enrol.consent", emergency=talk.emergency)


def on_text(talk: PersonTalk) -> str | None:
    """A typed answer to the open question; danger goes first. The name of a command for a wish to stop beside it."""
    dialogue = talk.dialogue
    if dialogue.flow != "enrol":
        welcome(talk)
    elif dialogue.step == "injection" and danger.listen(talk).flag is Flag.INJECTION:
        _answer(talk, "injection", "yes")
    elif dialogue.step == "consent" and danger.listen(talk).flag not in DANGER:
        _answer(talk, "consent", _typed_answer(talk, "consent"))  # no words are passed on before consent
    elif not signs.heard_danger(talk):
        _answer(talk, dialogue.step, _typed_answer(talk, dialogue.step))
    else:
        _after_danger(talk, dialogue.step)
        return danger.wish_beside(talk)
    return None


def _after_danger(talk: PersonTalk, step: str) -> None:
    if danger.listen(talk).flag is Flag.INJECTION and talk.dialogue.flow == "enrol":
        _goes_on_with(talk, step, wait_days=_days_after_injection(talk))
    if talk.dialogue.flow == "sign":
        return  # the enrolment goes on once that is answered
    if talk.person.status == Status.ENROLLING:
        talk.say(f"enrol.{step}", **_shown(talk, step))  # passed on, and the question still stands
    elif step == "signs":
        _goes_on_with(talk, "past")  # the sign is told; once it is cleared, the other questions are still to come


def on_tap(talk: PersonTalk, value: str) -> None:
    """A tapped answer `step.value`; a button of a question that is no longer open changes nothing."""
    step, _, answer = value.partition(".")
    dialogue = talk.dialogue
    if talk.person.status != Status.ENROLLING or dialogue.flow != "enrol" or dialogue.step != step:
        talk.say("button.old")
    else:
        _answer(talk, step, answer)


def ask_open_question(talk: PersonTalk) -> None:
    """The question at which the enrolment stands."""
    place = enrolment_of(talk.dialogue)
    if place is None or place.step == "consent":
        welcome(talk)
    else:
        talk.work.uow.dialogues.save(place)
        talk.say(f"enrol.{place.step}", **_shown(talk, place.step))


def _goes_on_with(talk: PersonTalk, step: str, **more: object) -> None:
    """Where the enrolment goes on once a therapist has let the person in again."""
    talk.wait_for("enrol", step, **dict(talk.dialogue.facts) | more)


def ask(talk: PersonTalk, step: str, **more: object) -> None:
    """Put the question of `step`, keeping what was answered before."""
    facts = dict(talk.dialogue.facts) | more
    talk.wait_for("enrol", step, **facts)
    talk.say(f"enrol.{step}", **_shown(talk, step))


def _shown(talk: PersonTalk, step: str) -> dict[str, object]:
    if step in GROUPS:
        return {"told": list(talk.dialogue.facts.get("told", ()))}
    if step == "rating" and talk.dialogue.facts.get("side") == BOTH:
        return {"of_side": side_of(talk.work.programmes.current, _next_to_rate(talk))}
    if step == "zone":
        return {"zone": talk.person.zone}
    return {"zones": talk.dialogue.facts.get("zones", [])} if step == "city" else {}


def _typed_answer(talk: PersonTalk, step: str) -> str:
    text = talk.came.text
    if step == "rating":
        heard = danger.listen(talk, Question.PAIN)
        return "" if heard.pain is None else str(heard.pain)
    if step in ("zone", "city"):
        return "yes" if step == "zone" and talk.typed("words.yes") else text
    if step == "evening":
        time = read_time(text)
        return time.isoformat("minutes") if time else ""
    items = GROUPS[step].items if step in GROUPS else ()
    if item := next((item for item in items if talk.typed(f"choice.{step}.{item}")), ""):
        return item
    choices = (*SIDES, BOTH) if step == "side" else ANSWERS
    return next((choice for choice in choices if talk.typed(f"words.{choice}") or talk.typed(f"choice.{choice}")), "")


def _answer(talk: PersonTalk, step: str, answer: str) -> None:
    taken = _STEPS[step](talk, answer) if step in _STEPS else False
    if not taken:
        talk.say(f"enrol.{step}", **_shown(talk, step), emergency=talk.emergency, again=True)


def _consent(talk: PersonTalk, answer: str) -> bool:
    if answer == "yes":
        ask(talk, "fit")
    elif answer == "no":
        talk.say("enrol.no_consent")
    return answer in ("yes", "no")


def _group(name: str, talk: PersonTalk, answer: str) -> bool:
    """A group of the screening: what is fine goes on, an item or not sure needs a person to look first."""
    group = GROUPS[name]
    told = [*talk.dialogue.facts.get("told", ())]
    if answer == group.fine:
        ask(talk, group.then)
    elif answer in _left_to_ask(name, told):
        told.append(answer)  # the rest of the group is asked once a therapist has looked at it
        _out(talk, answer, name if _left_to_ask(name, told) else group.then, told=told)
    elif name == "heart" and answer == "unsure":
        ask(talk, "heart_ok")
    elif answer in ANSWERS:
        _out(talk, name, group.then)
    else:
        return False
    return True


def _left_to_ask(group: str, told: list[str]) -> tuple[str, ...]:
    """The items of a group that were not told yet."""
    return tuple(item for item in GROUPS[group].items if item not in told)


def _heart_ok(talk: PersonTalk, answer: str) -> bool:
    """A doctor has said that strength work is safe."""
    if answer == "yes":
        ask(talk, "side")
    elif answer in ANSWERS:
        _out(talk, "heart", "side")
    return answer in ANSWERS


def _out(talk: PersonTalk, why: str, then: str, **more: object) -> None:
    _goes_on_with(talk, then, **more)
    talk.person = screen_out(talk.work, talk.person, why, urgency=URGENCIES.get(why))
    talk.say("enrol.screened_out", why=why, emergency=talk.emergency)


def _injection(talk: PersonTalk, answer: str) -> bool:
    if answer in ANSWERS:
        # not sure waits as well: some days without load harm nobody
        known = talk.dialogue.facts.get("wait_days", 0)
        ask(talk, "heart", wait_days=known if answer == "no" else _days_after_injection(talk))
    return answer in ANSWERS


def _days_after_injection(talk: PersonTalk) -> int:
    return int(talk.work.programmes.current.rule.injection.rest_days.value)


def _side(talk: PersonTalk, answer: str) -> bool:
    if answer in (*SIDES, BOTH):
        ask(talk, "rating", side=answer)
    return answer in (*SIDES, BOTH)


def _next_to_rate(talk: PersonTalk) -> str:
    """Of both sides the right one is rated first."""
    return "left" if "rating" in talk.dialogue.facts else "right"


def _rating(talk: PersonTalk, answer: str) -> bool:
    if not answer.isdecimal() or int(answer) > 10:
        return False
    both, left = talk.dialogue.facts.get("side") == BOTH, _next_to_rate(talk) == "left"
    rated = {"rating_left" if both and left else "rating": int(answer)}
    ask(talk, "rating" if both and not left else "zone", **rated)
    return True


def _zone(talk: PersonTalk, answer: str) -> bool:
    if answer == "yes":
        ask(talk, "evening")
        return True
    if answer in ("no", "other") or talk.typed("words.no"):
        ask(talk, "city", zones=[])
        return True
    return _city(talk, answer)


def _city(talk: PersonTalk, answer: str) -> bool:
    zone, near = read_zones(answer)
    if zone:
        talk.work.uow.people.save(replace(talk.person, zone=zone))
        talk.refresh()
        ask(talk, "evening")
    elif near:
        ask(talk, "city", zones=near)
    return bool(zone or near)


def _evening(talk: PersonTalk, answer: str) -> bool:
    time = read_time(answer)
    if time is None:
        return False
    _finish(talk, time)
    return True


def _finish(talk: PersonTalk, evening: dt.time) -> None:
    answers = dict(talk.dialogue.facts)
    both, waits = answers["side"] == BOTH, int(answers.get("wait_days", 0))
    first = answers | {"side": "right"} if both else answers
    begun = begin_course(talk.work, replace(talk.person, evening=evening), first, wait_days=waits)
    talk.person = begun.person
    talk.wait_for("")
    programme = talk.work.programmes.current
    doses = {begun.course.side: dose_facts(programme, begun.dose)}
    if both:
        left = int(answers["rating_left"])
        _, dose = begin_beside(talk.work, talk.person, "left", left, begun.first, gently=waits > 0)
        doses["left"] = dose_facts(programme, dose)
    talk.say(
        "enrol.done",
        dose=doses[begun.course.side],
        sides=[(side_of(programme, side), dose) for side, dose in doses.items()],
        first=begun.first,
        evening=evening,
        waits=waits,
        high=max(int(answers["rating"]), int(answers.get("rating_left", 0))) >= programme.rule.severe.limit.value,
    )
    questions.learn(talk)
    goals.offer(talk)


_STEPS: dict[str, Callable[[PersonTalk, str], bool]] = {
    "consent": _consent,
    **{name: partial(_group, name) for name in GROUPS},
    "injection": _injection,
    "heart_ok": _heart_ok,
    "side": _side,
    "rating": _rating,
    "zone": _zone,
    "city": _city,
    "evening": _evening,
}
