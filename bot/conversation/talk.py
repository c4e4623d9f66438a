"""One thing a person or staff did, with all that is needed to answer it; and the short answer to a flood.

Every message is still handled, so that nothing said is lost; only the replies are held back. Danger is answered always.
"""

import datetime as dt
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Generic, TypeVar

from bot.ports import Incoming
from core.programme import Programme
from core.records import CheckInState, Course, Dialogue, Person, Priority, Staff
from core.rule.course import is_stopped
from core.timetable import evening_of, opens_next
from core.use_cases.enrolling import enrolment_of, put_before
from core.use_cases.gathering import side_facts
from core.use_cases.noticing import reach
from core.use_cases.work import Recipient, Work, queue

KIND = "chat.slow"
STILL_SAID = frozenset({"danger", "left", "erase.done"})  # help, and what cannot be seen in any later reply
ONCE_IN_S = 600


def say_slow(work: Work, to: Recipient, emergency: str) -> None:
    """Queue the sentence, once in ten minutes for each chat."""
    stretch = int(work.now.timestamp()) // ONCE_IN_S
    key = f"slow:{to.channel}:{to.address}:{stretch}"
    queue(work, to, KIND, {"emergency": emergency}, key=key, priority=Priority.REPLY)


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
Words = Callable[[str, str], frozenset[str]]  # (key, language) -> the words a person may type for it


@dataclass(frozen=True, slots=True)
class Reply:
    """A message to be queued; `about` is the one patient whom a message to staff tells of, so that erasing finds it."""

    kind: str
    facts: dict[str, Any]
    about: str = ""


@dataclass(slots=True)
class Talk(Generic[Who]):
    """With a patient or with a member of staff. `came` is what they did; replies gather and are queued by `send`.

    `link` turns a code into an address that opens this chat, by its gap {code}.
    """

    work: Work
    who: Who
    came: Incoming
    words: Words
    emergency: str
    update_key: str
    link: str = ""
    newest_copy: Callable[[], dt.datetime | None] = lambda: None
    flooded: bool = False  # they send far too much: see say_slow
    side: str = ""  # which of a person's two courses is talked about; empty where that is still to be found
    of_both: bool = False  # what is said holds for both of them
    replies: list[Reply] = field(default_factory=list)

    def say(self, kind: str, about: str = "", /, **facts: Any) -> None:
        """Answer with a message of that kind. Of one about several patients the ids stand in its buttons or words."""
        if isinstance(self.who, Person) and kind.startswith(OF_A_COURSE) and not self.of_both:
            course = _talked_of(self, self.who)
            facts |= side_facts(self.work, course) if course else {}
        self.replies.append(Reply(kind, facts, about))

    @property
    def person(self: "Talk[Person]") -> Person:
        return self.who

    @person.setter
    def person(self: "Talk[Person]", person: Person) -> None:
        self.who = person

    @property
    def staff(self: "Talk[Staff]") -> Staff:
        return self.who

    @staff.setter
    def staff(self: "Talk[Staff]", staff: Staff) -> None:
        self.who = staff

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

    def course(self: "Talk[Person]") -> Course | None:
        """The person's course; of two the one of `side`, found here once where nothing has named it."""
        return _talked_of(self, self.who)

    def courses(self: "Talk[Person]") -> tuple[Course, ...]:
        """All that are not ended."""
        return self.work.uow.diary.courses_of(self.who.id)

    def each_course(self: "Talk[Person]") -> Iterator[Course]:
        """One after the other, turning to each; what danger has stopped is told of once."""
        for course in self.courses():
            self.side = course.side
            yield course
            if self.replies and self.replies[-1].kind in OF_BOTH:
                break

    def about(self: "Talk[Person]", course_id: str) -> Course | None:
        """Turn to that course; None where it is none of the person's, or has ended."""
        found = next((each for each in self.courses() if each.id == course_id), None)
        self.side = found.side if found else self.side
        return found

    @property
    def programme(self: "Talk[Person]") -> Programme:
        """The one the person's course follows, else the one that new courses begin on."""
        return _programme_of(self, self.who)

    def refresh(self: "Talk[Person]") -> None:
        """Read the person again after a use case changed them."""
        self.who = self.work.uow.people.get(self.who.id) or self.who

    def save(self: "Talk[Staff]", staff: Staff) -> None:
        """Keep what has changed of the member of staff."""
        self.work.uow.staff.save(staff)
        self.who = staff

    def typed(self, key: str) -> bool:
        """Whether the whole text is one of the words the catalogue, or the person's programme, lists under `key`."""
        typed, who = plain(self.came.text), self.who
        if typed in self.words(key, who.language):
            return True
        if not typed or not isinstance(who, Person):
            return False
        own = _programme_of(self, who).words.get(who.language, {})
        return typed in map(plain, own.get(f"instead.{key}", "").split(","))

    def say_if_closed(self) -> None:
        """That nobody at the clinic reads it before it opens, where it has told its hours and is closed."""
        clinic = self.work.uow.clinics.get(self.who.clinic_id)
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
                self.work, to, reply.kind, reply.facts | self._reach(reply.kind) | self._words(reply.kind),
                key=f"reply:{self.update_key}:{number}",
                priority=Priority.DANGER if reply.kind in OF_DANGER else Priority.REPLY,
                about=reply.about,
            )  # fmt: skip
        self.replies.clear()

    def _reach(self, kind: str) -> dict[str, Any]:
        """Whether the therapist can be told, for what says that they are."""
        if kind not in PASSED_ON or not isinstance(self.who, Person):
            return {}
        return {"told": reach(self.work, self.who)}

    def _words(self, kind: str) -> dict[str, Any]:
        """The programme's own words for the screening, and for what else it words itself."""
        if not kind.startswith("enrol.") or not isinstance(self.who, Person):
            return {}
        words = _programme_of(self, self.who).said("instead")
        return {"words": words} if any(words.values()) else {}

    def as_text(self, text: str) -> "Talk[Who]":
        """The same talk as if they had typed `text`; replies go to the same list."""
        return replace(self, came=replace(self.came, text=text))


PersonTalk = Talk[Person]
StaffTalk = Talk[Staff]


def _programme_of(talk: Talk[Any], person: Person) -> Programme:
    work = talk.work
    courses = work.uow.diary.courses_of(person.id)
    course = next((each for each in courses if talk.side in ("", each.side)), None)
    return work.programmes.get(work.uow, course.programme_version) if course else work.programmes.current


def _talked_of(talk: Talk[Any], person: Person) -> Course | None:
    courses = talk.work.uow.diary.courses_of(person.id)
    if len(courses) < 2:
        return next(iter(courses), None)
    talk.side = talk.side or _side_asked(talk, person, courses)
    return next((each for each in courses if each.side == talk.side), courses[0])


def _side_asked(talk: Talk[Any], person: Person, courses: Sequence[Course]) -> str:
    """The side that is being asked about; else the first without tonight's answer; else the one spoken of last."""
    diary, dialogue = talk.work.uow.diary, talk.dialogue
    last = diary.check_in(dialogue.check_in_id) if dialogue.check_in_id else None
    spoken_of = next((each.side for each in courses if last and each.id == last.course_id), courses[0].side)
    if dialogue.flow == "evening":
        return spoken_of
    today = evening_of(talk.said_at, person.zone)
    for each in courses:
        tonight = diary.check_in_on(each.id, today)
        waits = tonight is None or tonight.state is CheckInState.ASKED
        if waits and not is_stopped(each.episode) and each.episode.started <= today:
            return each.side
    return spoken_of


def plain(text: str) -> str:
    """A short reply without case, spaces at the ends, or closing punctuation."""
    return " ".join(text.casefold().replace("’", "'").strip(" .!?,\n\t").split())
