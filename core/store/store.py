"""The one door to the database."""

from collections.abc import Callable, Sequence
from types import TracebackType
from typing import Self

from sqlalchemy import Connection, Engine, select

from core import ports
from core.guided import SetPlan
from core.model import Decision, Episode
from core.records import Worded
from core.store import codec, faults, sealed
from core.store import tables as t
from core.store.bell import Bell, Heard
from core.store.condition import reseal
from core.store.copies import Watched, unwatched
from core.store.course import Decisions, Diary, Notices
from core.store.dialogues import Dialogues, GuidedSets
from core.store.due import Dues, Figures
from core.store.engine import connect, empty_log, make_engine, others
from core.store.founding import check_current, migrate
from core.store.inbox import Inbox
from core.store.locks import Lock, Locks, Pace
from core.store.outbox import Outbox
from core.store.people import Audits, Clinics, Invitations, People, StaffRoom
from core.store.sending import Sending
from core.store.transaction import Transaction, insert_new


class SqlUnit:
    """A core.ports.UnitOfWork on SQL."""

    def __init__(self, transaction: Transaction) -> None:
        self._transaction = transaction
        self.clinics: ports.Clinics = Clinics(transaction)
        self.people: ports.People = People(transaction)
        self.staff: ports.StaffRoom = StaffRoom(transaction)
        self.audit: ports.Audits = Audits(transaction)
        self.invitations: ports.Invitations = Invitations(transaction)
        self.dialogues: ports.Dialogues = Dialogues(transaction)
        self.diary: ports.Diary = Diary(transaction)
        self.sets: ports.GuidedSets = GuidedSets(transaction)
        self.decisions: ports.Decisions = Decisions(transaction)
        self.notices: ports.Notices = Notices(transaction)
        self.inbox: ports.Inbox = Inbox(transaction)
        self.outbox: ports.Outbox = Outbox(transaction)
        self.sending: ports.Sending = Sending(transaction)
        self.due: ports.Dues = Dues(transaction)
        self.figures: ports.Figures = Figures(transaction)
        self.pace: ports.Pace = Pace(transaction)

    @property
    def connection(self) -> Connection:
        """For statements of one's own in the same transaction."""
        return self._transaction.opened()

    def __enter__(self) -> Self:
        self._transaction.open()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._transaction.close()

    def commit(self) -> None:
        """Make what was done so far last. Raises StoreError when the database cannot."""
        self._transaction.commit()


class SqlStore:
    """A core.ports.Store on SQL, for one clinic. Serves any number of threads; one unit belongs to one thread."""

    def __init__(self, engine: Engine, clinic_id: str, seal: sealed.Seal) -> None:
        self._seal = seal
        self._reading = engine
        self._writing = engine.execution_options(writing=True)
        self._clinic = clinic_id
        self._wipe_waits = False
        self._locks = Locks(engine, clinic_id)
        self._bell: Bell | None = None

    def writing(self) -> SqlUnit:
        """A unit that may change things; on SQLite it waits for the write lock when entered."""
        return SqlUnit(Transaction(self._writing, self._clinic, writing=True, committed=self._after_commit))

    def reading(self) -> SqlUnit:
        """A unit that only looks; it waits for nobody."""
        return SqlUnit(Transaction(self._reading, self._clinic, writing=False, committed=self._after_commit))

    def lock(self, name: str, *, shared: bool = False) -> Lock:
        """A lock on what one process may do at a time, not taken yet; `shared` ones of a name go together."""
        return self._locks.lock(name, shared=shared)

    def held(self, name: str) -> bool:
        """Whether anybody holds it. Raises StoreError when the database cannot say."""
        return self._locks.held(name)

    def check(self) -> None:
        """Nothing when the database answers and has this version's tables; raises StoreError otherwise."""
        check_current(self._reading)

    def close(self) -> None:
        """Let go of every connection; the store cannot be used afterwards."""
        if self._wipe_waits:
            with connect(self._reading) as connection:
                self._wipe_waits = not empty_log(connection)
        self._reading.dispose()

    def reseal(self, watched: Watched = unwatched) -> int:
        """Seal everything with the first key again, so that older keys can go; says how many texts.

        In short transactions: it may be broken off and begun again. Nobody else may seal with an older key meanwhile.
        """
        try:
            return reseal(self._writing, self._seal, self._clinic, watched)
        except faults.OF_DRIVERS as error:
            raise faults.translate(error) from error

    def others(self) -> int:
        """How many other connections of this program a PostgreSQL database has; on SQLite a lock of files tells."""
        try:
            with connect(self._reading) as connection:
                return others(connection)
        except faults.OF_DRIVERS as error:
            raise faults.translate(error) from error

    def listen(self, owner: str, heard: Heard) -> Callable[[], None]:
        """Tell `heard`, from a thread, what any process has left in which box, until what is returned is called.

        And tell the others from now on; meanwhile the lock `owner` is held. On SQLite there are none.
        """
        if self._reading.dialect.name == "sqlite":
            return lambda: None
        self._bell = Bell(self._reading, self._clinic, owner, heard)
        return self._bell.close

    def _after_commit(self, transaction: Transaction) -> None:
        """What was erased still stands in SQLite's log; a reader in the way delays its end to a later commit."""
        if transaction.erased or self._wipe_waits:
            self._wipe_waits = not empty_log(transaction.opened())
        if self._bell is not None:
            self._bell.ring(transaction.left)


def open_store(url: str, key: bytes | Sequence[bytes], *, clinic_id: str = "clinic") -> SqlStore:
    """Open, and where needed make or bring up to date, the database at `url`.

    `key` seals names and texts; give several, the newest first, after a change of keys. Raises StoreError when
    the URL is not ours, the database cannot be reached or is newer than the program, or the key does not fit.
    """
    seal = sealed.Seal(key)
    codec.prepare(Episode, Decision, SetPlan, Worded)
    engine = make_engine(url)
    sealed.attach(engine.dialect, seal)
    try:
        migrate(engine)
        _check_key(engine.execution_options(writing=True), seal, clinic_id)
    except BaseException:
        engine.dispose()
        raise
    return SqlStore(engine, clinic_id, seal)


def _check_key(engine: Engine, seal: sealed.Seal, clinic_id: str) -> None:
    """The first opening leaves a sealed line; a key that cannot read it is the wrong one."""
    ours = select(t.keyring.c.proof).where(t.keyring.c.clinic_id == clinic_id)
    try:
        with connect(engine) as connection:
            row = {"clinic_id": clinic_id, "proof": seal.proof()}
            connection.execute(insert_new(engine.dialect.name, t.keyring), row)
            proof = connection.execute(ours).scalar_one()
            connection.commit()
    except faults.OF_DRIVERS as error:
        raise faults.translate(error) from error
    seal.check(proof)
