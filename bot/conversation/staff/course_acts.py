"""Acts that change the course: each is the rule's own decision, made by the therapist with a reason."""

import datetime as dt
import re

from bot.conversation.staff.act_kinds import PROGRAMMES, ActKind, Facts, StaffAct, amounts_in, read_amounts
from core.errors import RefusalError
from core.page import Gate
from core.records import Course, Status
from core.rule.override import GATE_STEP, LONGEST_STAY, Act, Override, override
from core.timetable import ONE_DAY, local_date
from core.use_cases.clearing import effective
from core.use_cases.gathering import dose_facts, next_gate
from core.use_cases.overriding import act as carry_out
from core.use_cases.overriding import change_start, clear_stop

DAYS_TO_STAY = (7, 14, 28)
WEIGHTS_AROUND = (-500, -250, 250, 500)  # grams
FIRST_OFFERED = 3.0  # where neither the programme nor the therapist has a gate; judgement
OFFERED_AROUND = (-1.0, -0.5, 0.5, 1.0)
MAX_PAIN = 10
_MOST_DIGITS = 3
_MEAN = re.compile(r"\d{1,2}([.,]\d)?", re.ASCII)


def _override(act: StaffAct, what: Override) -> Facts:
    """What the override would come to, without making it."""
    course = act.course()
    programme = act.work.programmes.get(act.work.uow, course.programme_version)
    decision = override(programme, course.episode, _date(act, course), what)
    return {
        "from": course.episode.step,
        "to": decision.step,
        "dose": dose_facts(programme, decision.dose) if decision.dose else None,
        "for_date": decision.for_date,
    }


def _date(act: StaffAct, course: Course) -> dt.date:
    """The date of a decision made now; none takes effect before the course begins."""
    return max(effective(act.work, act.person, course), course.episode.started - ONE_DAY)


def _simple(what: Act) -> ActKind:
    return ActKind(
        check=lambda act: _override(act, Override(what)),
        do=lambda act: carry_out(act.work, act.staff, act.person, Override(what), act.typed, act.side).id,
    )


def _step(act: StaffAct) -> Override:
    return Override(Act.TO, step=int(act.arg))


def _has_begun(act: StaffAct, course: Course) -> bool:
    return act.work.uow.diary.latest_check_in(course.id) is not None


def _check_step(act: StaffAct) -> Facts:
    if not act.arg:
        return {"from": act.course().episode.step}
    return _override(act, _step(act)) | {"start": not _has_begun(act, act.course())}


def _to_step(act: StaffAct) -> str:
    if _has_begun(act, act.course()):
        return carry_out(act.work, act.staff, act.person, _step(act), act.typed, act.side).id
    return change_start(act.work, act.staff, act.person, int(act.arg), act.typed, act.side).id


def _steps(act: StaffAct) -> list[int]:
    course = act.course()
    programme = act.work.programmes.get(act.work.uow, course.programme_version)
    return [step.number for step in programme.steps if step.number != course.episode.step]


def _read_step(_: StaffAct, words: str) -> str:
    return words if words.isdecimal() and len(words) <= _MOST_DIGITS else ""


def _until(act: StaffAct) -> Override:
    return Override(Act.PIN, until=dt.date.fromisoformat(act.arg))


def _check_stay(act: StaffAct) -> Facts:
    if not act.arg:  # any day that is possible shows whether the course can be kept at all
        return _override(act, Override(Act.PIN, until=_date(act, act.course()) + 2 * ONE_DAY))
    return _override(act, _until(act)) | {"until": dt.date.fromisoformat(act.arg)}


def _stays(act: StaffAct) -> list[str]:
    today = local_date(act.work.now, act.person.zone)
    return [(today + dt.timedelta(days=days)).isoformat() for days in DAYS_TO_STAY]


def _read_date(act: StaffAct, words: str) -> str:
    """A number of days ("21", "21 days") or a date (2026-03-20)."""
    number = words.partition(" ")[0]
    if number.isdecimal() and len(number) <= _MOST_DIGITS and int(number) <= LONGEST_STAY.value:
        return (local_date(act.work.now, act.person.zone) + dt.timedelta(days=int(number))).isoformat()
    try:
        return dt.date.fromisoformat(words).isoformat()
    except ValueError:
        return ""


def _gate_now(act: StaffAct) -> Gate:
    """The next step with the weekly mean that opens it now, and the one the programme asks for; None for none."""
    course = act.course()
    programme = act.work.programmes.get(act.work.uow, course.programme_version)
    return next_gate(programme, course.episode) or Gate(course.episode.step + 1, None, None)


def _gate(act: StaffAct) -> Override:
    step = _gate_now(act).step
    return Override(Act.UNGATE, step) if act.arg == PROGRAMMES else Override(Act.GATE, step, gate=float(act.arg))


def _check_gate(act: StaffAct) -> Facts:
    now = _gate_now(act)
    if not act.arg:  # any mean shows whether a gate can be set at all
        return _override(act, Override(Act.GATE, now.step, gate=FIRST_OFFERED)) | {"gate": now}
    after = now.programme if act.arg == PROGRAMMES else float(act.arg)
    return _override(act, _gate(act)) | {"gate": now, "after": after, "programmes": act.arg == PROGRAMMES}


def _gates(act: StaffAct) -> list[str]:
    now = _gate_now(act)
    middle = next((mean for mean in (now.own, now.programme) if mean is not None), FIRST_OFFERED)
    around = [f"{middle + by:g}" for by in OFFERED_AROUND if 0 <= middle + by <= MAX_PAIN]
    return [*around, *([PROGRAMMES] if now.own is not None else [])]


def _read_gate(_: StaffAct, words: str) -> str:
    """A weekly mean ("3", "3.5", "3,5"), or the word on the button that puts the programme's back."""
    if words == PROGRAMMES:
        return words
    found = _MEAN.fullmatch(words)
    if not found or float(words := words.replace(",", ".")) > MAX_PAIN or float(words) % GATE_STEP:
        return ""
    return f"{float(words):g}"


def _dose(act: StaffAct) -> Override:
    return Override(Act.DOSE, amounts=amounts_in(act.arg))


def _check_dose(act: StaffAct) -> Facts:
    return _override(act, _dose(act)) | {"amounts": amounts_in(act.arg)}


def _doses(act: StaffAct) -> list[str]:
    """The weight a little down and up, and back to the programme where something is set."""
    episode = act.course().episode
    cap = act.work.programmes.get(act.work.uow, act.course().programme_version).step(episode.step).cap_g
    around = [episode.load_g + by for by in WEIGHTS_AROUND]
    return [*(f"l{grams}" for grams in around if 0 < grams <= cap), *([PROGRAMMES] if episode.own_dose else [])]


def _check_clear(act: StaffAct) -> Facts:
    if act.person.status == Status.SCREENED_OUT:
        return {"flag": "screened"}
    flags = [each.episode.paused_for for each in act.work.uow.diary.courses_of(act.person.id)]
    flag = next(filter(None, flags), None)
    if flag is None:
        problem = "not_stopped" if flags else "no_course"
        raise RefusalError(f"person {act.person.id} is not stopped for danger", problem)
    return {"flag": flag.value}


def _clear(act: StaffAct) -> str:
    clear_stop(act.work, act.staff, act.person, act.typed)
    courses = act.work.uow.diary.courses_of(act.person.id)  # of two either will do: both are taken back together
    made = [each for course in courses for each in act.work.uow.decisions.of(course.id)]
    return next((each.id for each in reversed(made) if each.kind == "clear"), "")


COURSE_ACTS: dict[str, ActKind] = {
    "up": _simple(Act.UP),
    "back": _simple(Act.BACK),
    "pause": _simple(Act.STOP),
    "go_on": _simple(Act.GO_ON),
    "unpin": _simple(Act.UNPIN),
    "looked": _simple(Act.LOOKED),
    "to": ActKind(check=_check_step, do=_to_step, choices=_steps, read=_read_step),
    "stay": ActKind(
        check=_check_stay,
        do=lambda act: carry_out(act.work, act.staff, act.person, _until(act), act.typed, act.side).id,
        choices=_stays,
        read=_read_date,
    ),
    "dose": ActKind(
        check=_check_dose,
        do=lambda act: carry_out(act.work, act.staff, act.person, _dose(act), act.typed, act.side).id,
        choices=_doses,
        read=read_amounts,
    ),
    "gate": ActKind(
        check=_check_gate,
        do=lambda act: carry_out(act.work, act.staff, act.person, _gate(act), act.typed, act.side).id,
        choices=_gates,
        read=_read_gate,
    ),
    "clear": ActKind(check=_check_clear, do=_clear),
}


def going_on(act: StaffAct) -> str:
    """Which act lets the person go on: the danger is cleared, the therapist's stop lifted, or the pin taken off."""
    course = act.work.uow.diary.course_of(act.person.id, act.side)
    if act.person.status == Status.SCREENED_OUT or course is None or course.episode.paused_for:
        return "clear"
    return "go_on" if course.episode.stopped else "unpin"
