"""One thing a person did, and everything needed to answer it within one transaction."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

from bot.conversation.flood import STILL_SAID, say_slow
from bot.ports import Incoming
from core.opening import opens_next
from core.programme import Programme
from core.records import Course, Dialogue, Person, Priority
from core.use_cases.enrolling import enrolment_of, put_before
from core.use_cases.noticing import reach
from core.use_cases.queueing import Recipient, queue
from core.use_cases.work import Work

PASSED_ON = frozenset({
    "enrol.done", "enrol.screened_out", "injection.known", "injection.told", "problem.noted", "question.passed_on",
    "red_flags.once_more", "told.blood_thinner", "told.other_person", "told.pregnancy",
})  # fmt: skip
OF_DANGER = frozenset({"danger", "enrol.screened_out"})  # told first, and until it is delivered

Words = Callable[[str, str], frozenset[str]]  # (key, language) -> the words a person may type for it


@dataclass(slots=True)
class Talk:
    """`came` is what the person did; replies gather in `replies` and are queued once, by `send`."""

    work: Work
    person: Person
    came: Incoming
    words: Words
    emergency: str
    update_key: str
    quiet: bool = False  # they send far too much: see flood
    replies: list[tuple[str, dict[str, Any]]] = field(default_factory=list)

    def say(self, kind: str, **facts: Any) -> None:
        """Answer with a message of that kind."""
        self.replies.append((kind, facts))

    @property
    def said_at(self) -> dt.datetime:
        """When the person did it, which after a downtime is long before we read it; never in the future."""
        return min(self.came.at, self.work.now)

    @property
    def dialogue(self) -> Dialogue:
        return self.work.uow.dialogue(self.person.id)

    def wait_for(self, flow: str, step: str = "", check_in_id: str | None = None, **facts: Any) -> None:
        """Remember which question is open; it survives a restart."""
        self.work.uow.save_dialogue(Dialogue(self.person.id, flow, step, check_in_id, facts))

    def cut_in(self, flow: str) -> None:
        """Put a short question before whatever is open; an enrolment that is under way is kept for afterwards."""
        self.work.uow.save_dialogue(put_before(self.dialogue, flow))

    def nothing_open(self) -> None:
        """Close what is open; only an enrolment stays where it stands."""
        place = enrolment_of(self.dialogue)
        self.work.uow.save_dialogue(place or Dialogue(self.person.id, ""))

    def course(self) -> Course | None:
        return self.work.uow.course_of(self.person.id)

    @property
    def programme(self) -> Programme:
        """The one the person's course follows, else the one that new courses begin on."""
        course, shelf = self.course(), self.work.shelf
        return shelf.get(self.work.uow, course.programme_version) if course else shelf.current

    def refresh(self) -> None:
        """Read the person again after a use case changed them."""
        self.person = self.work.uow.person(self.person.id) or self.person

    def typed(self, key: str) -> bool:
        """Whether the whole text is one of the words the catalogue lists under `key`."""
        typed, language = plain(self.came.text), self.person.language
        own = self.programme.words.get(language, {}).get(f"instead.{key}", "")
        return typed in self.words(key, language) or bool(typed and typed in map(plain, own.split(",")))

    def say_if_closed(self) -> None:
        """That nobody at the clinic reads it before it opens, where it has told its hours and is closed."""
        clinic = self.work.uow.clinic(self.person.clinic_id)
        opens = opens_next(clinic.hours, self.work.now, clinic.zone) if clinic else None
        if opens:
            at = {"date": opens.date().isoformat(), "evening": opens.time().isoformat("minutes")}
            self.say("clinic.closed", **at, emergency=self.emergency)

    def send(self) -> None:
        """Queue the replies. Their keys hold the update's own key, so that a repeat cannot double them."""
        if self.quiet:
            said = [reply for reply in self.replies if reply[0] in STILL_SAID]
            if len(said) < len(self.replies):
                say_slow(self.work, Recipient.of(self.person), self.emergency)
            self.replies[:] = said
        for number, (kind, facts) in enumerate(self.replies):
            queue(
                self.work, Recipient.of(self.person), kind, facts | self._reach(kind) | self._words(kind),
                key=f"reply:{self.update_key}:{number}",
                priority=Priority.DANGER if kind in OF_DANGER else Priority.REPLY,
            )  # fmt: skip
        self.replies.clear()

    def _reach(self, kind: str) -> dict[str, Any]:
        """Whether the therapist can be told, for what says that they are."""
        return {"told": reach(self.work, self.person)} if kind in PASSED_ON else {}

    def _words(self, kind: str) -> dict[str, Any]:
        """The programme's own words for the screening, and for what else it words itself."""
        words = self.programme.said("instead") if kind.startswith("enrol.") else {}
        return {"words": words} if any(words.values()) else {}

    def as_text(self, text: str) -> "Talk":
        """The same talk as if the person had typed `text`."""
        return replace(self, came=replace(self.came, text=text))


def plain(text: str) -> str:
    """A short reply without case, spaces at the ends, or closing punctuation."""
    return " ".join(text.casefold().replace("’", "'").strip(" .!?,\n\t").split())
