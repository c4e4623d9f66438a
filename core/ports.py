"""What the use cases need of the outside: one door to the database, and what stands behind it.

One unit of work is one transaction; its parts, one a kind of row, share it.
"""

import datetime as dt
from collections.abc import Callable, Collection, Mapping, Sequence
from types import TracebackType
from typing import Protocol, Self

from core.model import Evening
from core.records import (
    Answer,
    Audit,
    Box,
    CheckIn,
    Clinic,
    Course,
    Dialogue,
    Due,
    Facts,
    GoalReview,
    GuidedSet,
    InboxItem,
    Invitation,
    Lost,
    Note,
    Notice,
    OutboxItem,
    OutboxState,
    OutcomeScore,
    Outgoing,
    Person,
    Queues,
    Role,
    ServiceWeek,
    Staff,
    StoredDecision,
    Task,
    Turns,
    Update,
    Whose,
    Worded,
)

NewId = Callable[[], str]
Wording = Callable[[str, str, Mapping[str, object]], Worded]  # (kind, language, what it tells)


class Clinics(Protocol):
    """The clinic and the texts of its programmes."""

    def get(self) -> Clinic | None: ...
    def save(self, clinic: Clinic) -> None: ...  # insert or replace
    def programme(self, version: str) -> str | None: ...
    def save_programme(self, version: str, text: str, at: dt.datetime) -> None: ...  # a known version is left alone


class People(Protocol):
    """Patients, and what is kept of them beside the diary."""

    def get(self, person_id: str, *, lock: bool = False) -> Person | None: ...
    def at(self, channel: str, address: str, *, lock: bool = False) -> Person | None: ...
    def patient_at(self, channel: str, address: str) -> Person | None: ...  # locked; None: or it is staff's chat
    def save(self, person: Person) -> None: ...  # insert or replace
    # in lists, a status that cannot be read is like none there is; reading the one row raises UnreadableError
    def all(self) -> tuple[Person, ...]: ...
    def of(self, staff_id: str) -> tuple[Person, ...]: ...  # whose therapist_id is theirs
    def whose(self, table: str, row: str, *, lock: bool = False) -> Person | None: ...  # readable or not
    def erase(self, person_id: str) -> None: ...  # every row and message of theirs, in and out
    def anonymise(self, person_id: str) -> None: ...  # all but the numbers of the diary and what was decided
    def closed(self, before: dt.datetime, limit: int) -> tuple[Person, ...]: ...  # nothing happened since
    def fading(self, limit: int) -> tuple[Person, ...]: ...  # of whom the end was announced
    def export(self, person_id: str) -> Facts: ...  # everything kept about one person, as JSON values
    def add_note(self, note: Note) -> None: ...
    def notes(self, person_id: str) -> tuple[Note, ...]: ...  # newest first
    def save_task(self, task: Task) -> None: ...
    def tasks(self, person_id: str) -> tuple[Task, ...]: ...  # open ones, the earliest due first
    def save_outcome(self, outcome: OutcomeScore) -> None: ...
    def outcomes(self, person_id: str) -> tuple[OutcomeScore, ...]: ...  # oldest first
    def save_goals(self, review: GoalReview) -> None: ...
    def goals(self, course_id: str) -> tuple[GoalReview, ...]: ...  # from the start on


class StaffRoom(Protocol):
    """Therapists and leads, those who left too."""

    def get(self, staff_id: str, *, lock: bool = False) -> Staff | None: ...
    def at(self, channel: str, address: str, *, lock: bool = False) -> Staff | None: ...
    def save(self, staff: Staff) -> None: ...  # insert or replace
    def all(self) -> tuple[Staff, ...]: ...


class Audits(Protocol):
    """What staff looked at and did; only added to."""

    def add(self, audit: Audit) -> None: ...
    def find(
        self, person: str | None, staff: str | None, since: dt.datetime | None, until: dt.datetime | None
    ) -> tuple[Audit, ...]: ...  # oldest first; None: no bound
    def latest(self, person_id: str | None = None, limit: int = 100) -> tuple[Audit, ...]: ...  # newest first
    def last_done(self, action: str) -> dt.datetime | None: ...  # by whoever


class Invitations(Protocol):
    """Codes that let somebody in, by their hash."""

    def add(self, invitation: Invitation) -> None: ...
    def get(self, code_hash: str, *, lock: bool = False) -> Invitation | None: ...
    def use(self, code_hash: str, person_id: str, at: dt.datetime) -> bool: ...  # False: used or expired
    def open(self, now: dt.datetime) -> tuple[Invitation, ...]: ...  # oldest first
    def used_by(self, person_id: str) -> Invitation | None: ...  # the latest
    def forget_user(self, code_hash: str) -> None: ...  # used it stays
    def void(self, role: Role, at: dt.datetime) -> int: ...  # unused ones of the command line
    def forget(self, before: dt.datetime) -> int: ...  # run out before, used by nobody


class Dialogues(Protocol):
    """Where each chat's conversation stands."""

    def get(self, person_id: str) -> Dialogue: ...  # an empty one when none is stored
    def of_patient(self, person_id: str) -> Dialogue: ...  # with what is open of theirs read along
    def save(self, dialogue: Dialogue) -> None: ...


class Diary(Protocol):
    """Courses, their check-ins, and the log of answers."""

    def course(self, course_id: str) -> Course | None: ...  # ended ones, too
    def courses_of(self, person_id: str) -> tuple[Course, ...]: ...  # those not ended, one a side, the right first
    def course_of(self, person_id: str, side: str = "") -> Course | None: ...  # of them that one, else the first
    def courses(self, person_id: str) -> tuple[Course, ...]: ...  # ended ones too, in the order in which they ended
    def save_course(self, course: Course) -> None: ...
    def check_in(self, check_in_id: str) -> CheckIn | None: ...
    def check_in_on(self, course_id: str, date: dt.date) -> CheckIn | None: ...
    def latest_check_in(self, course_id: str) -> CheckIn | None: ...
    def drop_unasked(self, course_id: str, after: dt.date) -> int: ...  # later evenings, not asked nor answered
    def add_check_in(self, check_in: CheckIn) -> bool: ...  # False: that date has one already
    def save_check_in(self, check_in: CheckIn) -> None: ...
    # both ends in, by date, here and below
    def check_ins(self, course_id: str, since: dt.date, until: dt.date) -> tuple[CheckIn, ...]: ...
    def evenings(self, course_id: str, since: dt.date, until: dt.date) -> tuple[Evening, ...]: ...
    # words that the reading did not use, of those evenings alone that have any
    def unread(self, course_id: str, since: dt.date, until: dt.date) -> dict[dt.date, str]: ...
    def add_answer(self, answer: Answer) -> None: ...
    def answered_by(self, person_id: str, message_id: str) -> str | None: ...  # check-in id of that message's answer
    def answers(self, person_id: str) -> tuple[Answer, ...]: ...


class GuidedSets(Protocol):
    """Sets that are counted through."""

    def get(self, set_id: str) -> GuidedSet | None: ...
    def open_of(self, person_id: str) -> GuidedSet | None: ...  # the one that is not over
    def on(self, course_id: str, date: dt.date) -> tuple[GuidedSet, ...]: ...  # in the order in which they began
    def ever_begun(self, course_id: str, exercise: str) -> bool: ...
    def save(self, guided: GuidedSet) -> None: ...
    def due(self, now: dt.datetime) -> str | None: ...  # id; locked with its person, others' skipped
    def next_at(self) -> dt.datetime | None: ...
    def give_up(self, set_id: str) -> None: ...  # nothing else of the row is read


class Decisions(Protocol):
    """What was decided; live ones alone are found, by date, then as added."""

    def add(self, decision: StoredDecision) -> None: ...
    def of(self, course_id: str, since: dt.date | None = None) -> tuple[StoredDecision, ...]: ...
    def on(self, course_id: str, date: dt.date) -> StoredDecision | None: ...  # of kind "evening"
    def latest(self, course_id: str) -> StoredDecision | None: ...
    def supersede(self, decision_id: str) -> bool: ...  # an override that is undone; False: not a live one
    def supersede_since(self, course_id: str, since: dt.date) -> int: ...


class Notices(Protocol):
    """What therapists must know; found newest first."""

    def add(self, notice: Notice) -> bool: ...  # False: that key is known
    def get(self, notice_id: str) -> Notice | None: ...
    def look_again(self, notice_id: str, at: dt.datetime | None) -> None: ...
    def look_now(self, now: dt.datetime) -> None: ...  # at every danger that is not settled
    def look_anew(self, now: dt.datetime, since: dt.datetime) -> int: ...  # after a clock that was ahead
    def newest(self, limit: int = 100) -> tuple[Notice, ...]: ...
    def within(self, since: dt.datetime, until: dt.datetime) -> tuple[Notice, ...]: ...  # [since, until)
    def count(self, whose: Whose) -> int: ...
    def page(self, whose: Whose, limit: int, skip: int) -> tuple[Notice, ...]: ...
    def about(self, person_id: str, since: dt.datetime | None = None) -> tuple[Notice, ...]: ...


class Inbox(Protocol):
    """Updates that came in."""

    def put(self, updates: Sequence[Update]) -> int: ...  # how many were new
    def claim(self, now: dt.datetime, limit: int) -> tuple[InboxItem, ...]: ...
    def done(self, item_id: int, at: dt.datetime) -> None: ...
    def failed(self, item_id: int, at: dt.datetime, why: str, *, dead: bool) -> None: ...
    def waits(self, now: dt.datetime) -> bool: ...  # whether any could be handled
    def untouched(self, received_by: dt.datetime) -> bool: ...  # any that waits for its first try
    def came_earlier(self, item: InboxItem, back: int) -> dt.datetime | None: ...  # that many before it in its chat
    def forget(self, before: dt.datetime) -> int: ...


class Outbox(Protocol):
    """Messages to send, as those see them who queue them."""

    def put(self, message: Outgoing) -> bool: ...  # False: that key is known
    def word(self, key: str, words: Worded) -> None: ...  # of one that is worded when it is drawn
    def cancel(self, person_id: str, kinds: Sequence[str], course_id: str = "") -> int: ...  # or of one course
    def cancel_to(self, person_id: str, about: str = "", *, but_danger: bool = False) -> int: ...
    def ways_of(self, notice_id: str) -> tuple[tuple[str, OutboxState], ...]: ...  # staff id, how far it has come
    def state(self, key: str) -> OutboxState | None: ...
    def arrived_as(self, key: str) -> str | None: ...  # the channel's id of the message of that key
    def latest(self, channel: str, address: str, limit: int) -> tuple[Outgoing, ...]: ...  # latest first
    def waits(self, now: dt.datetime) -> bool: ...  # whether any could leave, or is in somebody's hand
    def lost(self, limit: int = 1000) -> tuple[Lost, ...]: ...  # given up, and no lead was told; oldest first
    def lost_told(self, item_ids: Sequence[int]) -> None: ...
    def forget(self, before: dt.datetime) -> int: ...


class Sending(Protocol):
    """The same messages in the hands of who sends them."""

    def claim(
        self,
        now: dt.datetime,
        limit: int,
        owner: str,
        lease_s: float,
        *,
        drawn: bool | None = None,  # True: only what takes seconds to make, False: only the rest
        apart_s: float = 0.0,  # least time between two messages of a chat
        resting: Sequence[str] = (),  # chats that get none now
    ) -> tuple[OutboxItem, ...]: ...
    def renew(self, item_ids: Sequence[int], owner: str, until: dt.datetime) -> int: ...
    def leaves(self, item_ids: Sequence[int], owner: str) -> frozenset[int]: ...  # commit, then call
    def sent(self, item_id: int, at: dt.datetime, message_id: str | None) -> None: ...
    def all_sent(self, sent: Sequence[tuple[int, dt.datetime, str | None]]) -> None: ...  # the same for many
    def retry(self, item_id: int, not_before: dt.datetime) -> None: ...  # known not to be delivered
    def put_back(self, item_id: int, not_before: dt.datetime) -> None: ...  # claimed and not tried
    def unknown(self, item_id: int, not_before: dt.datetime) -> None: ...  # perhaps delivered
    def failed(self, item_id: int, at: dt.datetime, why: str, *, lost: bool = True) -> None: ...
    # leases that ran out, or all when nobody else is sending; the delivery of what was leaving is unknown
    def owners(self) -> frozenset[str]: ...  # who has anything in hand
    def recover(self, now: dt.datetime, *, alone: bool = False, dead: Collection[str] = ()) -> int: ...


class Dues(Protocol):
    """What the clock brings."""

    def kinds(self, now: dt.datetime) -> frozenset[Due]: ...  # of which something is due
    def ids(self, what: Due, now: dt.datetime, limit: int) -> tuple[str, ...]: ...  # locked, others' skipped
    def put_off(self, what: Due, which: str, until: dt.datetime) -> None: ...  # nothing else of the row is read
    def astray(self, what: Due, horizon: dt.datetime) -> tuple[str, ...]: ...  # people (ask, nudge), staff
    def bring_forward(self, now: dt.datetime, horizon: dt.datetime) -> int: ...  # dangers, messages, updates
    def next(self, now: dt.datetime) -> dt.datetime | None: ...  # the earliest of all due times


class Figures(Protocol):
    """For those who watch."""

    def queues(self, now: dt.datetime) -> Queues: ...  # what waits
    def service_week(self, since: dt.datetime, until: dt.datetime) -> ServiceWeek: ...


class Pace(Protocol):
    """Turns at sending, which all processes share, by the server's clock."""

    def take(self, count: int, gap_s: float, ahead_s: float) -> Turns: ...
    def halt(self, seconds: float) -> None: ...


class UnitOfWork(Protocol):
    """One transaction. Leaving without `commit` undoes everything. Driver errors arrive as StoreError."""

    def __enter__(self) -> Self: ...
    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None: ...
    def commit(self) -> None: ...

    clinics: Clinics
    people: People
    staff: StaffRoom
    audit: Audits
    invitations: Invitations
    dialogues: Dialogues
    diary: Diary
    sets: GuidedSets
    decisions: Decisions
    notices: Notices
    inbox: Inbox
    outbox: Outbox
    sending: Sending
    due: Dues
    figures: Figures
    pace: Pace


class Lock(Protocol):
    """A lock that its process loses by dying."""

    def take(self) -> bool: ...  # or still ours; StoreError: lost
    def drop(self) -> None: ...


class Store(Protocol):
    """Hands out units of work: `writing` takes the write lock at once on SQLite, `reading` does not."""

    def writing(self) -> UnitOfWork: ...
    def reading(self) -> UnitOfWork: ...
    def lock(self, name: str, *, shared: bool = False) -> Lock: ...  # not taken yet
    def held(self, name: str) -> bool: ...  # by anybody
    # to be told what is left in which box, and whether one is told at all, until what it returns is called; meanwhile
    # the lock `owner` is held. Does nothing on SQLite
    def listen(self, owner: str, heard: Callable[[Collection[Box], bool], None]) -> Callable[[], None]: ...
    def check(self) -> None: ...  # StoreError unless the database answers with this version's tables
    def close(self) -> None: ...
