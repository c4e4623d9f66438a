"""One thing one person or one member of staff did, with all that is needed to answer it; and the answer to a flood.

Every message is still handled in a flood, so that nothing said is lost; only the replies are held back. Danger is
answered always.
"""

import datetime as dt
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Generic, Self, TypeVar

from bot.ports import Incoming
from core.programme import Programme
from core.records import CheckInState, Clinic, Course, Dialogue, Person, Priority, Staff
from core.rule.course import is_stopped
from core.timetable import evening_of, opens_next
from core.use_cases.enrolling import enrolment_of, put_before
from core.use_cases.gathering import side_facts
from core.use_cases.noticing import reach
from core.use_cases.work import Recipient, Work, queue

STILL_SAID = frozenset({"danger", "left", "erase.done"})  # in a flood: help, and what no later reply can show
SLOW_ONCE_IN_S = 600
PASSED_ON = frozenset({
    "enrol.done", "enrol.screened_out", "file.passed", "injection.known", "injection.told", "problem.noted",
    "question.passed_on", "red_flags.once_more", "silence.passed", "told.blood_thinner", "told.other_person",
    "told.pregnancy",
})  # fmt: skip
OF_DANGER = frozenset({"danger", "enrol.screened_out"})  # told first, and until it is delivered

# what is said of one course: where the person has two, it says of which
OF_A_COURSE = (
    "away.back", "change.", "evening.", "guided.", "how", "override.still", "progress", "red_flags.", "today",
    "weight.", "why",
)  # fmt: skip
OF_BOTH = ("danger.still", "away.still")  # and what need not be said of each

Who = TypeVar("Who", Person, Staff)


@dataclass(frozen=True, slots=True)
class ChatSettings:
    """What every conversation in this clinic shares."""

    clinic: Clinic
    evening: dt.time
    words: Callable[[str, str], frozenset[str]]  # (key, language) -> the words a person may type for it
    link: str = ""  # an address that opens this chat with a code, by its gap {code}; empty where there is none
    newest_copy: Callable[[], dt.datetime | None] = lambda: None  # that another program made of the database


@dataclass(frozen=True, slots=True)
class Reply:
    """A message to be queued; `about` is the one patient whom a message to staff tells of, so that erasing finds it."""

    kind: str
    facts: dict[str, Any]
    about: str = ""


@dataclass
class Talk(Generic[Who]):
    """With a patient or with a member of staff. `came` is what they did; replies gather and are queued by `send`."""

    work: Work
    who: Who
    came: Incoming
    chats: ChatSettings
    update_key: str
    flooded: bool = False  # they send far too much: see say_slow
    side: str = ""  # which of a person's two courses is talked about; empty where that is still to be found
    replies: list[Reply] = field(default_factory=list)

    def say(self, kind: str, about: str = "", /, **facts: Any) -> None:
        """Answer with a message of that kind. Of one about several patients the ids stand in its buttons or words."""
        self.replies.append(Reply(kind, facts, about))

    @property
    def emergency(self) -> str:
        """The clinic's sentence for emergencies."""
        return self.chats.clinic.emergency

    @property
    def said_at(self) -> dt.datetime:
        """When they did it, which after a downtime is long before we read it; never in the future."""
        return min(self.came.at, self.work.now)

    @property
    def dialogue(self) -> Dialogue:
        return self.work.uow.dialogues.get(self.who.id)

    def wait_for(self, flow: str, step: str = "", check_in_id: str | None = None, **facts: Any) -> None:
        """Remember which question is open; it survives a restart. Of staff the facts name the patient it is about."""
        self.work.uow.dialogues.save(Dialogue(self.who.id, flow, step, check_in_id, facts))

    def cut_in(self, flow: str) -> None:
        """Put a short question before whatever is open; an enrolment that is under way is kept for afterwards."""
        self.work.uow.dialogues.save(put_before(self.dialogue, flow))

    def nothing_open(self) -> None:
        """Close what is open; only an enrolment stays where it stands."""
        place = enrolment_of(self.dialogue)
        self.work.uow.dialogues.save(place or Dialogue(self.who.id, ""))

    def typed(self, key: str) -> bool:
        """Whether the whole text is one of the words the catalogue lists under `key`."""
        return plain(self.came.text) in self.chats.words(key, self.who.language)

    def as_text(self, text: str) -> Self:
        """The same talk as if they had typed `text`; replies go to the same list."""
        return replace(self, came=replace(self.came, text=text))

    def say_if_closed(self) -> None:
        """That nobody at the clinic reads it before it opens, where it has told its hours and is closed."""
        clinic = self.work.uow.clinics.get()
        opens = opens_next(clinic.hours, self.work.now, clinic.zone) if clinic else None
        if opens:
            at = {"date": opens.date(), "evening": opens.time()}
            self.say("clinic.closed", **at, emergency=self.emergency)

    def send(self) -> None:
        """Queue the replies. Their keys hold the update's own key, so that a repeat cannot double them."""
        to = Recipient.of(self.who)
        if self.flooded:
            said = [reply for reply in self.replies if reply.kind in STILL_SAID]
            if len(said) < len(self.replies):
                say_slow(self.work, to, self.emergency)
            self.replies[:] = said
        for number, reply in enumerate(self.replies):
            queue(
                self.work, to, reply.kind, reply.facts | self._besides(reply.kind),
                key=f"reply:{self.update_key}:{number}",
                priority=Priority.DANGER if reply.kind in OF_DANGER else Priority.REPLY,
                about=reply.about,
            )  # fmt: skip
        self.replies.clear()

    def _besides(self, kind: str) -> dict[str, Any]:
        """What else is told with that kind of reply, as it is once everything has been done."""
        return {}


@dataclass
class StaffTalk(Talk[Staff]):
    @property
    def staff(self) -> Staff:
        return self.who

    def save(self, staff: Staff) -> None:
        """Keep what has changed of the member of staff."""
        self.work.uow.staff.save(staff)
        self.who = staff


@dataclass
class PersonTalk(Talk[Person]):
    of_both: bool = False  # what is said holds for both of their courses

    @property
    def person(self) -> Person:
        return self.who

    @person.setter
    def person(self, person: Person) -> None:
        self.who = person

    def refresh(self) -> None:
        """Read the person again after a use case changed them."""
        self.who = self.work.uow.people.get(self.who.id) or self.who

    def say(self, kind: str, about: str = "", /, **facts: Any) -> None:
        """Answer; what is said of one of two courses says of which."""
        if kind.startswith(OF_A_COURSE) and not self.of_both and (course := self.course()):
            facts |= side_facts(self.work, course)
        self.replies.append(Reply(kind, facts, about))

    def typed(self, key: str) -> bool:
        """Whether the whole text is one of the words the catalogue, or the person's programme, lists under `key`."""
        text = plain(self.came.text)
        if text in self.chats.words(key, self.who.language):
            return True
        own = self.programme.words.get(self.who.language, {}) if text else {}
        return bool(text) and text in map(plain, own.get(f"instead.{key}", "").split(","))

    def _besides(self, kind: str) -> dict[str, Any]:
        """Whether the therapist can be told, for what says that they are; the programme's own words at the start."""
        told: dict[str, Any] = {"told": reach(self.work, self.who)} if kind in PASSED_ON else {}
        words = self.programme.said("instead") if kind.startswith("enrol.") else {}
        return told | ({"instead": words} if any(words.values()) else {})

    def courses(self) -> tuple[Course, ...]:
        """All that are not ended."""
        return self.work.uow.diary.courses_of(self.who.id)

    def course(self) -> Course | None:
        """The person's course; of two the one of `side`, found here once where nothing has named it."""
        courses = self.courses()
        if len(courses) < 2:
            return next(iter(courses), None)
        self.side = self.side or self._side_asked(courses)
        return next((each for each in courses if each.side == self.side), courses[0])

    def _side_asked(self, courses: Sequence[Course]) -> str:
        """The side that is being asked about; else the first without tonight's answer; else the one spoken of last."""
        diary, dialogue = self.work.uow.diary, self.dialogue
        last = diary.check_in(dialogue.check_in_id) if dialogue.check_in_id else None
        spoken_of = next((each.side for each in courses if last and each.id == last.course_id), courses[0].side)
        if dialogue.flow == "evening":
            return spoken_of
        today = evening_of(self.said_at, self.who.zone)
        for each in courses:
            tonight = diary.check_in_on(each.id, today)
            waits = tonight is None or tonight.state is CheckInState.ASKED
            if waits and not is_stopped(each.episode) and each.episode.started <= today:
                return each.side
        return spoken_of

    def about(self, course_id: str) -> Course | None:
        """Turn to that course; None where it is none of the person's, or has ended."""
        found = next((each for each in self.courses() if each.id == course_id), None)
        self.side = found.side if found else self.side
        return found

    def each_course(self) -> Iterator[Course]:
        """One after the other, turning to each; what danger has stopped is told of once."""
        for course in self.courses():
            self.side = course.side
            yield course
            if self.replies and self.replies[-1].kind in OF_BOTH:
                break

    @property
    def programme(self) -> Programme:
        """The one the person's course follows, else the one that new courses begin on."""
        course = next((each for each in self.courses() if self.side in ("", each.side)), None)
        return self.work.programme_of(course) if course else self.work.programmes.current


def say_slow(work: Work, to: Recipient, emergency: str) -> None:
    """Queue the sentence that answers a flood, once in ten minutes for each chat."""
    key = f"slow:{to.channel}:{to.address}:{int(work.now.timestamp()) // SLOW_ONCE_IN_S}"
    queue(work, to, "chat.slow", {"emergency": emergency}, key=key, priority=Priority.REPLY)


def plain(text: str) -> str:
    """A short reply without case, spaces at the ends, or closing punctuation."""
    return " ".join(text.casefold().replace("’", "'").strip(" .!?,\n\t").split())
