"""Enrolment: consent, screening, then which elbow, the rating now, the zone and the hour, and the first dose."""

import datetime as dt
from collections.abc import Callable
from dataclasses import replace

from bot.conversation import danger
from bot.conversation.answers_typed import read_time, read_zones
from bot.conversation.talk import Talk
from core.model import DANGER, Question
from core.records import Status
from core.use_cases.enrolling import begin_course, enrolment_of, screen_out
from core.use_cases.facts import dose_facts

AFTER_INJECTION_DAYS = 14  # EVIDENCE: no loading for two weeks after an injection
ANSWERS = ("yes", "no", "unsure")
ELBOWS = ("left", "right")


def welcome(talk: Talk) -> None:
    """Say what this is and is not, and ask for consent."""
    talk.wait_for("enrol", "consent")
    talk.say("enrol.consent", emergency=talk.emergency)


def on_text(talk: Talk) -> str | None:
    """A typed answer to the open question; danger goes first. The name of a command for a wish to stop beside it."""
    dialogue = talk.dialogue
    if dialogue.flow != "enrol":
        welcome(talk)
    elif dialogue.step == "consent" and danger.listen(talk).flag not in DANGER:
        _answer(talk, "consent", _typed_answer(talk, "consent"))  # no words are passed on before consent
    elif not danger.heard_danger(talk):
        _answer(talk, dialogue.step, _typed_answer(talk, dialogue.step))
    else:
        _after_danger(talk, dialogue.step)
        return danger.wish_beside(talk)
    return None


def _after_danger(talk: Talk, step: str) -> None:
    if talk.dialogue.flow == "sign":
        return  # the enrolment goes on once that is answered
    if talk.person.status == Status.ENROLLING:
        talk.say(f"enrol.{step}", **_shown(talk, step))  # passed on, and the question still stands
    elif step == "signs":
        _goes_on_with(talk, "surgery")  # the sign is told; once it is cleared, the other questions are still to come


def on_tap(talk: Talk, value: str) -> None:
    """A tapped answer `step.value`; a button of a question that is no longer open changes nothing."""
    step, _, answer = value.partition(".")
    dialogue = talk.dialogue
    if talk.person.status != Status.ENROLLING or dialogue.flow != "enrol" or dialogue.step != step:
        talk.say("button.old")
    else:
        _answer(talk, step, answer)


def ask_open_question(talk: Talk) -> None:
    """The question at which the enrolment stands."""
    place = enrolment_of(talk.dialogue)
    if place is None or place.step == "consent":
        welcome(talk)
    else:
        talk.work.uow.save_dialogue(place)
        talk.say(f"enrol.{place.step}", **_shown(talk, place.step))


def _goes_on_with(talk: Talk, step: str) -> None:
    """Where the enrolment goes on once a therapist has let the person in again."""
    talk.wait_for("enrol", step, **talk.dialogue.facts)


def ask(talk: Talk, step: str, **more: object) -> None:
    """Put the question of `step`, keeping what was answered before."""
    facts = dict(talk.dialogue.facts) | more
    talk.wait_for("enrol", step, **facts)
    talk.say(f"enrol.{step}", **_shown(talk, step))


def _shown(talk: Talk, step: str) -> dict[str, object]:
    if step == "zone":
        return {"zone": talk.person.zone}
    return {"zones": talk.dialogue.facts.get("zones", [])} if step == "city" else {}


def _typed_answer(talk: Talk, step: str) -> str:
    text = talk.came.text
    if step == "rating":
        heard = danger.listen(talk, Question.PAIN)
        return "" if heard.pain is None else str(heard.pain)
    if step in ("zone", "city"):
        return "yes" if step == "zone" and talk.typed("words.yes") else text
    if step == "evening":
        time = read_time(text)
        return time.isoformat("minutes") if time else ""
    choices = ELBOWS if step == "elbow" else ANSWERS
    return next((choice for choice in choices if talk.typed(f"words.{choice}")), "")


def _answer(talk: Talk, step: str, answer: str) -> None:
    taken = _STEPS[step](talk, answer) if step in _STEPS else False
    if not taken:
        talk.say(f"enrol.{step}", **_shown(talk, step), emergency=talk.emergency, again=True)


def _consent(talk: Talk, answer: str) -> bool:
    if answer == "yes":
        ask(talk, "signs")
    elif answer == "no":
        talk.say("enrol.no_consent")
    return answer in ("yes", "no")


def _signs(talk: Talk, answer: str) -> bool:
    return _screen(talk, answer, "signs", then="surgery")


def _surgery(talk: Talk, answer: str) -> bool:
    return _screen(talk, answer, "surgery", then="injection")


def _heart_ok(talk: Talk, answer: str) -> bool:
    safe = {"yes": "no", "no": "yes", "unsure": "unsure"}  # here it is "yes" that lets the person go on
    return _screen(talk, safe.get(answer, ""), "heart", then="elbow")


def _screen(talk: Talk, answer: str, why: str, then: str) -> bool:
    """No goes on; yes and not sure both need a person to look first."""
    if answer == "no":
        ask(talk, then)
    elif answer in ("yes", "unsure"):
        _goes_on_with(talk, then)
        talk.person = screen_out(talk.work, talk.person, why)
        talk.say("enrol.screened_out", why=why, emergency=talk.emergency)
    return answer in ANSWERS


def _injection(talk: Talk, answer: str) -> bool:
    if answer in ANSWERS:
        # not sure waits as well: two weeks without load harm nobody
        ask(talk, "heart", wait_days=0 if answer == "no" else AFTER_INJECTION_DAYS)
    return answer in ANSWERS


def _heart(talk: Talk, answer: str) -> bool:
    if answer in ANSWERS:
        ask(talk, "elbow" if answer == "no" else "heart_ok")
    return answer in ANSWERS


def _elbow(talk: Talk, answer: str) -> bool:
    if answer in ELBOWS:
        ask(talk, "rating", elbow=answer)
    return answer in ELBOWS


def _rating(talk: Talk, answer: str) -> bool:
    if answer.isdecimal() and int(answer) <= 10:
        ask(talk, "zone", rating=int(answer))
        return True
    return False


def _zone(talk: Talk, answer: str) -> bool:
    if answer == "yes":
        ask(talk, "evening")
        return True
    if answer in ("no", "other") or talk.typed("words.no"):
        ask(talk, "city", zones=[])
        return True
    return _city(talk, answer)


def _city(talk: Talk, answer: str) -> bool:
    zone, near = read_zones(answer)
    if zone:
        talk.work.uow.save_person(replace(talk.person, zone=zone))
        talk.refresh()
        ask(talk, "evening")
    elif near:
        ask(talk, "city", zones=near)
    return bool(zone or near)


def _evening(talk: Talk, answer: str) -> bool:
    time = read_time(answer)
    if time is None:
        return False
    _finish(talk, time)
    return True


def _finish(talk: Talk, evening: dt.time) -> None:
    answers = talk.dialogue.facts
    begun = begin_course(
        talk.work, replace(talk.person, evening=evening), answers, wait_days=int(answers.get("wait_days", 0))
    )
    talk.person = begun.person
    talk.wait_for("")
    programme = talk.work.shelf.current
    talk.say(
        "enrol.done",
        dose=dose_facts(programme, begun.dose),
        first=begun.first.isoformat(),
        evening=evening.isoformat("minutes"),
        elbow=begun.course.elbow,
        waits=bool(answers.get("wait_days")),
        high=int(answers["rating"]) >= programme.rule.severe.limit.value,
    )


_STEPS: dict[str, Callable[[Talk, str], bool]] = {
    "consent": _consent,
    "signs": _signs,
    "surgery": _surgery,
    "injection": _injection,
    "heart": _heart,
    "heart_ok": _heart_ok,
    "elbow": _elbow,
    "rating": _rating,
    "zone": _zone,
    "city": _city,
    "evening": _evening,
}
