"""What the use cases need of the outside: one door to the database."""

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from types import TracebackType
from typing import Protocol, Self

from core.model import Evening
from core.records import (
    Answer,
    Audit,
    CheckIn,
    Clinic,
    Course,
    Dialogue,
    Due,
    Facts,
    GuidedSet,
    InboxItem,
    Invitation,
    Lost,
    Note,
    Notice,
    OutboxItem,
    OutboxState,
    Outcome,
    Outgoing,
    Person,
    Queues,
    Role,
    ServiceWeek,
    Staff,
    StoredDecision,
    Turns,
    Update,
    Whose,
    Worded,
)

NewId = Callable[[], str]
Wording = Callable[[str, str, Mapping[str, object]], Worded]  # (kind, language, what it tells)


class UnitOfWork(Protocol):
    """One transaction. Leaving without `commit` undoes everything. Driver errors arrive as StoreError."""

    def __enter__(self) -> Self: ...
    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None: ...
    def commit(self) -> None: ...

    # clinic and programme texts
    def clinic(self, clinic_id: str) -> Clinic | None: ...
    def save_clinic(self, clinic: Clinic) -> None: ...  # insert or replace
    def programme_text(self, version: str) -> str | None: ...
    def save_programme(self, version: str, text: str, at: dt.datetime) -> None: ...  # a known version is left alone

    # people
    def person(self, person_id: str, *, lock: bool = False) -> Person | None: ...
    def person_at(self, channel: str, address: str, *, lock: bool = False) -> Person | None: ...
    def save_person(self, person: Person) -> None: ...  # insert or replace
    def people(self, clinic_id: str) -> tuple[Person, ...]: ...
    def erase_person(self, person_id: str) -> None: ...  # every row and message of theirs, in and out
    def anonymise(self, person_id: str) -> None: ...  # all but the numbers of the diary and what was decided
    def closed_people(self, before: dt.datetime, limit: int) -> tuple[Person, ...]: ...  # nothing happened since
    def fading_people(self, limit: int) -> tuple[Person, ...]: ...  # of whom the end was announced

    # staff; a therapist's patients are the people whose therapist_id is theirs
    def staff(self, staff_id: str, *, lock: bool = False) -> Staff | None: ...
    def staff_at(self, channel: str, address: str, *, lock: bool = False) -> Staff | None: ...
    def save_staff(self, staff: Staff) -> None: ...  # insert or replace
    def all_staff(self) -> tuple[Staff, ...]: ...
    def patients_of(self, staff_id: str) -> tuple[Person, ...]: ...
    def add_audit(self, audit: Audit) -> None: ...
    def trail(
        self, person: str | None, staff: str | None, since: dt.datetime | None, until: dt.datetime | None
    ) -> tuple[Audit, ...]: ...  # oldest first; None: no bound
    def last_done(self, action: str) -> dt.datetime | None: ...  # by whoever
    def audits(self, person_id: str | None = None, limit: int = 100) -> tuple[Audit, ...]: ...  # newest first
    def add_note(self, note: Note) -> None: ...
    def notes(self, person_id: str) -> tuple[Note, ...]: ...  # newest first
    def save_outcome(self, outcome: Outcome) -> None: ...
    def outcomes(self, person_id: str) -> tuple[Outcome, ...]: ...  # oldest first
    def count_notices(self, whose: Whose) -> int: ...
    def some_notices(self, whose: Whose, limit: int, skip: int) -> tuple[Notice, ...]: ...  # newest first
    def notices_about(self, person_id: str, since: dt.datetime | None = None) -> tuple[Notice, ...]: ...  # newest first

    # courses, check-ins, answers
    def course(self, course_id: str) -> Course | None: ...  # ended ones, too
    def course_of(self, person_id: str) -> Course | None: ...  # the one not ended
    def courses(self, person_id: str) -> tuple[Course, ...]: ...  # ended ones too, in the order in which they ended
    def save_course(self, course: Course) -> None: ...
    def check_in(self, check_in_id: str) -> CheckIn | None: ...
    def check_in_on(self, course_id: str, date: dt.date) -> CheckIn | None: ...
    def latest_check_in(self, course_id: str) -> CheckIn | None: ...
    def drop_unasked(self, course_id: str, after: dt.date) -> int: ...  # later evenings, not asked nor answered
    def add_check_in(self, check_in: CheckIn) -> bool: ...  # False: that date has one already
    def save_check_in(self, check_in: CheckIn) -> None: ...
    def check_ins(self, course_id: str, since: dt.date, until: dt.date) -> tuple[CheckIn, ...]: ...  # likewise
    def diary(self, course_id: str, since: dt.date, until: dt.date) -> tuple[Evening, ...]: ...  # both ends in, by date
    # words of each evening that the reading did not use, by date, those evenings alone that have any
    def unread(self, course_id: str, since: dt.date, until: dt.date) -> dict[dt.date, str]: ...
    def add_answer(self, answer: Answer) -> None: ...
    def answered_by(self, person_id: str, message_id: str) -> str | None: ...  # check-in id of that message's answer
    def answers(self, person_id: str) -> tuple[Answer, ...]: ...

    # sets that are counted through
    def guided_set(self, set_id: str) -> GuidedSet | None: ...
    def open_set(self, person_id: str) -> GuidedSet | None: ...  # the one that is not over
    def sets_on(self, course_id: str, date: dt.date) -> tuple[GuidedSet, ...]: ...  # in the order in which they began
    def save_set(self, guided: GuidedSet) -> None: ...
    def due_set(self, now: dt.datetime) -> str | None: ...  # id; locked with its person, others' skipped
    def next_set_at(self) -> dt.datetime | None: ...
    def give_up_set(self, set_id: str) -> None: ...  # nothing else of the row is read
    def arrived_as(self, key: str) -> str | None: ...  # the channel's id of the message of that key

    # decisions and notices
    def add_decision(self, decision: StoredDecision) -> None: ...
    # live ones by date, then as added
    def decisions(self, course_id: str, since: dt.date | None = None) -> tuple[StoredDecision, ...]: ...
    def decision_on(self, course_id: str, date: dt.date) -> StoredDecision | None: ...  # live, of kind "evening"
    def latest_decision(self, course_id: str) -> StoredDecision | None: ...
    def supersede_one(self, decision_id: str) -> bool: ...  # an override that is undone; False: not a live one
    def supersede_decisions(self, course_id: str, since: dt.date) -> int: ...
    def add_notice(self, notice: Notice) -> bool: ...  # False: that key is known
    def notice(self, notice_id: str) -> Notice | None: ...
    def look_again(self, notice_id: str, at: dt.datetime | None) -> None: ...
    def look_now(self, now: dt.datetime) -> None: ...  # at every danger that is not settled
    def notices(self, clinic_id: str, limit: int = 100) -> tuple[Notice, ...]: ...  # newest first

    # invitations and dialogue
    def add_invitation(self, invitation: Invitation) -> None: ...
    def invitation(self, code_hash: str, *, lock: bool = False) -> Invitation | None: ...
    def use_invitation(self, code_hash: str, person_id: str, at: dt.datetime) -> bool: ...  # False: used or expired
    def open_invitations(self, now: dt.datetime) -> tuple[Invitation, ...]: ...  # oldest first
    def invitation_used_by(self, person_id: str) -> Invitation | None: ...  # the latest
    def forget_user(self, code_hash: str) -> None: ...  # used it stays
    def void_invitations(self, role: Role, at: dt.datetime) -> int: ...  # unused ones of the command line
    def dialogue(self, person_id: str) -> Dialogue: ...  # an empty one when none is stored
    def save_dialogue(self, dialogue: Dialogue) -> None: ...

    # inbox
    def put_updates(self, updates: Sequence[Update]) -> int: ...  # how many were new
    def claim_updates(self, now: dt.datetime, limit: int) -> tuple[InboxItem, ...]: ...
    def update_done(self, item_id: int, at: dt.datetime) -> None: ...
    def update_failed(self, item_id: int, at: dt.datetime, why: str, *, dead: bool) -> None: ...
    def untouched_updates(self, received_by: dt.datetime) -> bool: ...  # any that waits for its first try
    def came_earlier(self, item: InboxItem, back: int) -> dt.datetime | None: ...  # that many before it in its chat
    def forget_updates(self, before: dt.datetime) -> int: ...

    # outbox
    def enqueue(self, message: Outgoing) -> bool: ...  # False: that key is known
    def word_message(self, key: str, words: Worded) -> None: ...  # of one that is worded when it is drawn
    def cancel_pending(self, person_id: str, kinds: Sequence[str]) -> int: ...
    def cancel_to(self, person_id: str, about: str = "", *, but_danger: bool = False) -> int: ...
    def ways_of(self, notice_id: str) -> tuple[tuple[str, OutboxState], ...]: ...  # staff id, how far it has come
    def claim_outbox(
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
    def renew_outbox(self, item_ids: Sequence[int], owner: str, until: dt.datetime) -> int: ...
    def outbox_leaves(self, item_ids: Sequence[int], owner: str) -> frozenset[int]: ...  # commit, then call
    def outbox_sent(self, item_id: int, at: dt.datetime, message_id: str | None) -> None: ...
    def outbox_all_sent(self, sent: Sequence[tuple[int, dt.datetime, str | None]]) -> None: ...  # the same for many
    def outbox_retry(self, item_id: int, not_before: dt.datetime) -> None: ...  # known not to be delivered
    def outbox_put_back(self, item_id: int, not_before: dt.datetime) -> None: ...  # claimed and not tried
    def outbox_unknown(self, item_id: int, not_before: dt.datetime) -> None: ...  # perhaps delivered
    def outbox_failed(self, item_id: int, at: dt.datetime, why: str, *, lost: bool = True) -> None: ...
    def lost_messages(self, limit: int = 1000) -> tuple[Lost, ...]: ...  # given up, and no lead was told; oldest first
    def lost_told(self, item_ids: Sequence[int]) -> None: ...
    def last_messages(self, channel: str, address: str, limit: int) -> tuple[Outgoing, ...]: ...  # latest first
    def message_state(self, key: str) -> OutboxState | None: ...
    # leases that ran out, or all when nobody else is sending; the delivery of what was leaving is unknown
    def recover_outbox(self, now: dt.datetime, *, alone: bool = False) -> int: ...
    def forget_outbox(self, before: dt.datetime) -> int: ...
    def forget_invitations(self, before: dt.datetime) -> int: ...  # run out before, used by nobody
    def any_due(self, now: dt.datetime) -> frozenset[Due]: ...  # of which kinds something is due
    def due(self, what: Due, now: dt.datetime, limit: int) -> tuple[str, ...]: ...  # ids; locked, others' skipped
    def put_off(self, what: Due, which: str, until: dt.datetime) -> None: ...  # nothing else of the row is read
    def astray(self, what: Due, horizon: dt.datetime) -> tuple[str, ...]: ...  # people (ask), staff (digest)
    def bring_forward(self, now: dt.datetime, horizon: dt.datetime) -> int: ...  # dangers, messages, updates
    def next_work(self, now: dt.datetime) -> dt.datetime | None: ...  # the earliest of all due times
    def any_message(self, now: dt.datetime) -> bool: ...  # that could leave, or is in somebody's hand
    def any_update(self, now: dt.datetime) -> bool: ...
    def service_week(self, since: dt.datetime, until: dt.datetime) -> ServiceWeek: ...
    def queues(self, now: dt.datetime) -> Queues: ...  # what waits, for those who watch

    # what several processes share
    def take_turns(self, count: int, gap_s: float, ahead_s: float) -> Turns: ...  # at sending, by the server's clock
    def halt_turns(self, seconds: float) -> None: ...

    def export(self, person_id: str) -> Facts: ...  # everything kept about one person, as JSON values


class Hold(Protocol):
    """A lock that its process loses by dying."""

    def take(self) -> bool: ...  # or still ours; StoreError: lost
    def drop(self) -> None: ...


class Store(Protocol):
    """Hands out units of work: `writing` takes the write lock at once on SQLite, `reading` does not."""

    def writing(self) -> UnitOfWork: ...
    def reading(self) -> UnitOfWork: ...
    def hold(self, name: str, *, shared: bool = False) -> Hold: ...  # not taken yet
    def held(self, name: str) -> bool: ...  # by anybody
    def check(self) -> None: ...  # StoreError unless the database answers with this version's tables
    def close(self) -> None: ...
