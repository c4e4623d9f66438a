"""Acts that change the course: each is the rule's own decision, made by the therapist with a reason."""

import datetime as dt
import re
from collections.abc import Callable, Iterable
from typing import Any

from bot.conversation.staff.person_acts import ActKind, Facts, StaffAct
from core.errors import RefusalError
from core.page import NextGate
from core.programme import Programme
from core.records import Course, Status
from core.rule.dose import Amounts
from core.rule.override import GATE_STEP, LONGEST_STAY, Act, Override, override
from core.timetable import ONE_DAY, local_date
from core.use_cases.deciding import effective
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
PROGRAMMES = "programme"  # the choice that puts the programme's own back
_NUMBER = re.compile(r"[lsrp]\d{1,5}(-[srp]\d{1,2})*", re.ASCII)  # as a button carries it
_PARTS = {"l": "load", "s": "sets", "r": "reps", "p": "pain"}
_KILOGRAMS, _COUNT = r"(\d{1,2}(?:[.,]\d{1,3})?)", r"(\d{1,2})"


def _overriding(
    what: Callable[[StaffAct], Override],
    check: Callable[[StaffAct], Facts] | None = None,
    choices: Callable[[StaffAct], list[Any]] | None = None,
    read: Callable[[StaffAct, str], str] = lambda act, words: "",
) -> ActKind:
    """An override of the rule, which is checked by trying it unless there is a `check` of its own."""
    return ActKind(
        check=check or (lambda act: _override(act, what(act))),
        do=lambda act: carry_out(act.work, act.staff, act.person, what(act), act.typed, act.side).id,
        choices=choices,
        read=read,
    )


def _override(act: StaffAct, what: Override) -> Facts:
    """What the override would come to, without making it."""
    course, programme = act.course(), _programme(act)
    decision = override(programme, course.episode, _date(act, course), what)
    return {
        "before": course.episode.step,
        "to": decision.step,
        "dose": dose_facts(programme, decision.dose) if decision.dose else None,
        "for_date": decision.for_date,
    }


def _programme(act: StaffAct) -> Programme:
    return act.work.programme_of(act.course())


def _date(act: StaffAct, course: Course) -> dt.date:
    """The date of a decision made now; none takes effect before the course begins."""
    return max(effective(act.work, act.person, course), course.episode.started - ONE_DAY)


def _step(act: StaffAct) -> Override:
    return Override(Act.TO, step=int(act.arg))


def _has_begun(act: StaffAct, course: Course) -> bool:
    return act.work.uow.diary.latest_check_in(course.id) is not None


def _check_step(act: StaffAct) -> Facts:
    if not act.arg:
        return {"before": act.course().episode.step}
    return _override(act, _step(act)) | {"start": not _has_begun(act, act.course())}


def _to_step(act: StaffAct) -> str:
    if _has_begun(act, act.course()):
        return carry_out(act.work, act.staff, act.person, _step(act), act.typed, act.side).id
    return change_start(act.work, act.staff, act.person, int(act.arg), act.typed, act.side).id


def _steps(act: StaffAct) -> list[int]:
    return [step.number for step in _programme(act).steps if step.number != act.course().episode.step]


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


def _gate_now(act: StaffAct) -> NextGate:
    """The next step with the weekly mean that opens it now, and the one the programme asks for; None for none."""
    episode = act.course().episode
    return next_gate(_programme(act), episode) or NextGate(episode.step + 1, None, None)


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
    cap = _programme(act).step(episode.step).cap_g
    around = [episode.load_g + by for by in WEIGHTS_AROUND]
    return [*(f"l{grams}" for grams in around if 0 < grams <= cap), *([PROGRAMMES] if episode.own_dose else [])]


def read_amounts(act: StaffAct, typed: str) -> str:
    """What was typed as a button would carry it, such as "l1500-s2"; '' when part of it was not read."""
    return amounts_typed(typed, lambda name: act.words(f"words.amount.{name}", act.staff.language))


def amounts_typed(typed: str, words: Callable[[str], Iterable[str]]) -> str:
    """The same with the `words` for "load", "sets", "reps", "pain" and "and"."""
    if typed == PROGRAMMES or _NUMBER.fullmatch(typed):
        return typed
    found, rest = [], typed
    for letter, name in _PARTS.items():
        said = _one_of(words(name))
        number = _KILOGRAMS if letter == "l" else _COUNT
        pattern = rf"{said} {number}" if letter == "p" else rf"{number} ?{said}"
        if match := re.search(pattern, rest, re.ASCII):
            value = match[1].replace(",", ".")
            found.append(f"{letter}{round(float(value) * 1000) if letter == 'l' else int(value)}")
            rest = rest[: match.start()] + rest[match.end() :]
    between = rf"[\s,;.]*(?:{_one_of(words('and'))}[\s,;.]*)?"
    return "-".join(found) if found and re.fullmatch(between, rest) else ""


def amounts_in(carried: str) -> Amounts:
    """The amounts that `read_amounts` found; none at all for the programme's own or where nothing is chosen yet."""
    if not carried or carried == PROGRAMMES:
        return Amounts()
    found = {part[0]: int(part[1:]) for part in carried.split("-")}
    pain = found.get("p")
    return Amounts(found.get("l"), found.get("s"), found.get("r"), None if pain is None else float(pain))


def _one_of(words: Iterable[str]) -> str:
    """Any of the words, the longest first."""
    return f"(?:{'|'.join(map(re.escape, sorted(words, key=len, reverse=True)))})"


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


def going_on(act: StaffAct) -> str:
    """Which act lets the person go on: the danger is cleared, the therapist's stop lifted, or the pin taken off."""
    course = act.work.uow.diary.course_of(act.person.id, act.side)
    if act.person.status == Status.SCREENED_OUT or course is None or course.episode.paused_for:
        return "clear"
    return "go_on" if course.episode.stopped else "unpin"


COURSE_ACTS: dict[str, ActKind] = {
    "up": _overriding(lambda act: Override(Act.UP)),
    "back": _overriding(lambda act: Override(Act.BACK)),
    "pause": _overriding(lambda act: Override(Act.STOP)),
    "go_on": _overriding(lambda act: Override(Act.GO_ON)),
    "unpin": _overriding(lambda act: Override(Act.UNPIN)),
    "looked": _overriding(lambda act: Override(Act.LOOKED)),
    "to": ActKind(check=_check_step, do=_to_step, choices=_steps, read=_read_step),
    "stay": _overriding(_until, _check_stay, _stays, _read_date),
    "dose": _overriding(_dose, _check_dose, _doses, read_amounts),
    "gate": _overriding(_gate, _check_gate, _gates, _read_gate),
    "clear": ActKind(check=_check_clear, do=_clear),
}
