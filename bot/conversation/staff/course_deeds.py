"""Deeds that change the course: each is the rule's own decision, made by the therapist with a reason."""

import datetime as dt
import re
from dataclasses import asdict

from bot.conversation.staff.amounts import PROGRAMMES, amounts_in, read_amounts
from bot.conversation.staff.deed import Deed, Facts, Kind
from core.errors import RefusalError
from core.records import Course, Status
from core.rule.override import GATE_STEP, LONGEST_STAY, Act, Override, override
from core.timetable import ONE_DAY, local_date
from core.use_cases.clearing import effective
from core.use_cases.facts import dose_facts
from core.use_cases.gates import next_gate
from core.use_cases.overriding import act, change_start, clear_stop

DAYS_TO_STAY = (7, 14, 28)
WEIGHTS_AROUND = (-500, -250, 250, 500)  # grams
FIRST_OFFERED = 3.0  # where neither the programme nor the therapist has a gate; judgement
OFFERED_AROUND = (-1.0, -0.5, 0.5, 1.0)
MAX_PAIN = 10
_MOST_DIGITS = 3
_MEAN = re.compile(r"\d{1,2}([.,]\d)?", re.ASCII)


def _override(deed: Deed, what: Override) -> Facts:
    """What the override would come to, without making it."""
    course = deed.course()
    programme = deed.work.shelf.get(deed.work.uow, course.programme_version)
    decision = override(programme, course.episode, _date(deed, course), what)
    return {
        "from": course.episode.step,
        "to": decision.step,
        "dose": dose_facts(programme, decision.dose) if decision.dose else None,
        "for_date": decision.for_date.isoformat(),
    }


def _date(deed: Deed, course: Course) -> dt.date:
    """The date of a decision made now; none takes effect before the course begins."""
    return max(effective(deed.work, deed.person, course), course.episode.started - ONE_DAY)


def _simple(what: Act) -> Kind:
    return Kind(
        check=lambda deed: _override(deed, Override(what)),
        do=lambda deed: act(deed.work, deed.staff, deed.person, Override(what), deed.typed).id,
    )


def _step(deed: Deed) -> Override:
    return Override(Act.TO, step=int(deed.arg))


def _has_begun(deed: Deed, course: Course) -> bool:
    return deed.work.uow.latest_check_in(course.id) is not None


def _check_step(deed: Deed) -> Facts:
    if not deed.arg:
        return {"from": deed.course().episode.step}
    return _override(deed, _step(deed)) | {"start": not _has_begun(deed, deed.course())}


def _to_step(deed: Deed) -> str:
    if _has_begun(deed, deed.course()):
        return act(deed.work, deed.staff, deed.person, _step(deed), deed.typed).id
    return change_start(deed.work, deed.staff, deed.person, int(deed.arg), deed.typed).id


def _steps(deed: Deed) -> list[int]:
    course = deed.course()
    programme = deed.work.shelf.get(deed.work.uow, course.programme_version)
    return [step.number for step in programme.steps if step.number != course.episode.step]


def _read_step(_: Deed, words: str) -> str:
    return words if words.isdecimal() and len(words) <= _MOST_DIGITS else ""


def _until(deed: Deed) -> Override:
    return Override(Act.PIN, until=dt.date.fromisoformat(deed.arg))


def _check_stay(deed: Deed) -> Facts:
    if not deed.arg:  # any day that is possible shows whether the course can be kept at all
        return _override(deed, Override(Act.PIN, until=_date(deed, deed.course()) + 2 * ONE_DAY))
    return _override(deed, _until(deed)) | {"until": deed.arg}


def _stays(deed: Deed) -> list[str]:
    today = local_date(deed.work.now, deed.person.zone)
    return [(today + dt.timedelta(days=days)).isoformat() for days in DAYS_TO_STAY]


def _read_date(deed: Deed, words: str) -> str:
    """A number of days ("21", "21 days") or a date (2026-03-20)."""
    number = words.partition(" ")[0]
    if number.isdecimal() and len(number) <= _MOST_DIGITS and int(number) <= LONGEST_STAY.value:
        return (local_date(deed.work.now, deed.person.zone) + dt.timedelta(days=int(number))).isoformat()
    try:
        return dt.date.fromisoformat(words).isoformat()
    except ValueError:
        return ""


def _gate_now(deed: Deed) -> Facts:
    """The next step with the weekly mean that opens it now, and the one the programme asks for; None for none."""
    course = deed.course()
    programme = deed.work.shelf.get(deed.work.uow, course.programme_version)
    return next_gate(programme, course.episode) or {"step": course.episode.step + 1, "own": None, "programme": None}


def _gate(deed: Deed) -> Override:
    step = _gate_now(deed)["step"]
    return Override(Act.UNGATE, step) if deed.arg == PROGRAMMES else Override(Act.GATE, step, gate=float(deed.arg))


def _check_gate(deed: Deed) -> Facts:
    now = _gate_now(deed)
    if not deed.arg:  # any mean shows whether a gate can be set at all
        return _override(deed, Override(Act.GATE, now["step"], gate=FIRST_OFFERED)) | {"gate": now}
    after = now["programme"] if deed.arg == PROGRAMMES else float(deed.arg)
    return _override(deed, _gate(deed)) | {"gate": now | {"after": after, "back": deed.arg == PROGRAMMES}}


def _gates(deed: Deed) -> list[str]:
    now = _gate_now(deed)
    middle = next((mean for mean in (now["own"], now["programme"]) if mean is not None), FIRST_OFFERED)
    around = [f"{middle + by:g}" for by in OFFERED_AROUND if 0 <= middle + by <= MAX_PAIN]
    return [*around, *([PROGRAMMES] if now["own"] is not None else [])]


def _read_gate(_: Deed, words: str) -> str:
    """A weekly mean ("3", "3.5", "3,5"), or the word on the button that puts the programme's back."""
    if words == PROGRAMMES:
        return words
    found = _MEAN.fullmatch(words)
    if not found or float(words := words.replace(",", ".")) > MAX_PAIN or float(words) % GATE_STEP:
        return ""
    return f"{float(words):g}"


def _dose(deed: Deed) -> Override:
    return Override(Act.DOSE, amounts=amounts_in(deed.arg))


def _check_dose(deed: Deed) -> Facts:
    return _override(deed, _dose(deed)) | {"amounts": asdict(amounts_in(deed.arg))}


def _doses(deed: Deed) -> list[str]:
    """The weight a little down and up, and back to the programme where something is set."""
    episode = deed.course().episode
    cap = deed.work.shelf.get(deed.work.uow, deed.course().programme_version).step(episode.step).cap_g
    around = [episode.load_g + by for by in WEIGHTS_AROUND]
    return [*(f"l{grams}" for grams in around if 0 < grams <= cap), *([PROGRAMMES] if episode.own_dose else [])]


def _check_clear(deed: Deed) -> Facts:
    if deed.person.status == Status.SCREENED_OUT:
        return {"flag": "screened"}
    episode = deed.course().episode
    if episode.paused_for is None:
        raise RefusalError(f"person {deed.person.id} is not stopped for danger", "not_stopped")
    return {"flag": episode.paused_for.value}


def _clear(deed: Deed) -> str:
    clear_stop(deed.work, deed.staff, deed.person, deed.typed)
    course = deed.work.uow.course_of(deed.person.id)
    made = deed.work.uow.decisions(course.id) if course else ()
    return next((each.id for each in reversed(made) if each.kind == "clear"), "")


COURSE_DEEDS: dict[str, Kind] = {
    "up": _simple(Act.UP),
    "back": _simple(Act.BACK),
    "pause": _simple(Act.STOP),
    "go_on": _simple(Act.GO_ON),
    "unpin": _simple(Act.UNPIN),
    "looked": _simple(Act.LOOKED),
    "to": Kind(check=_check_step, do=_to_step, choices=_steps, read=_read_step),
    "stay": Kind(
        check=_check_stay,
        do=lambda deed: act(deed.work, deed.staff, deed.person, _until(deed), deed.typed).id,
        choices=_stays,
        read=_read_date,
    ),
    "dose": Kind(
        check=_check_dose,
        do=lambda deed: act(deed.work, deed.staff, deed.person, _dose(deed), deed.typed).id,
        choices=_doses,
        read=read_amounts,
    ),
    "gate": Kind(
        check=_check_gate,
        do=lambda deed: act(deed.work, deed.staff, deed.person, _gate(deed), deed.typed).id,
        choices=_gates,
        read=_read_gate,
    ),
    "clear": Kind(check=_check_clear, do=_clear),
}


def going_on(deed: Deed) -> str:
    """Which deed lets the person go on: the danger is cleared, the therapist's stop lifted, or the pin taken off."""
    course = deed.work.uow.course_of(deed.person.id)
    if deed.person.status == Status.SCREENED_OUT or course is None or course.episode.paused_for:
        return "clear"
    return "go_on" if course.episode.stopped else "unpin"
