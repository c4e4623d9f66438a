"""What staff can do for one patient: how an act is checked, what is typed for it, and how it is carried out."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from core.errors import RefusalError
from core.records import Course, Person, Staff
from core.use_cases.work import Work

Facts = dict[str, Any]


@dataclass(frozen=True, slots=True)
class StaffAct:
    """One act under way: `arg` is what was chosen (a step, a date, an hour), `typed` what was written for it."""

    work: Work
    staff: Staff
    person: Person
    words: Callable[[str, str], frozenset[str]]  # (key, language) -> what may be typed for it
    arg: str = ""
    typed: str = ""

    def course(self) -> Course:
        """The person's course; RefusalError when there is none."""
        course = self.work.uow.diary.course_of(self.person.id)
        if course is None:
            raise RefusalError(f"person {self.person.id} has no course", "no_course")
        return course


@dataclass(frozen=True, slots=True)
class ActKind:
    """One kind of act.

    `check` tells what will happen and raises RefusalError for what cannot; it is asked again before every step. `do`
    carries it out and returns how it can be taken back: "" or what stands in the undo button. `choices` are offered
    where something has to be chosen, and `read` makes a choice of typed words ("" when it is none).
    """

    check: Callable[[StaffAct], Facts]
    do: Callable[[StaffAct], str]
    typed: str = "reason"  # "reason", "message", "note", "score", "diary", or "" for nothing
    choices: Callable[[StaffAct], list[Any]] | None = None
    read: Callable[[StaffAct, str], str] = lambda act, words: ""
