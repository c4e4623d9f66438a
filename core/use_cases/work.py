"""What every use case is handed: the open transaction, the moment, a source of ids, the programmes."""

import datetime as dt
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, field

from core.errors import StoreError
from core.ports import NewId, UnitOfWork, Wording
from core.programme import Programme
from core.programme.file import load_programme


@dataclass(slots=True)
class Shelf:
    """The programme new courses start on, and every older version that a stored course still follows."""

    current: Programme
    _read: dict[str, Programme] = field(default_factory=dict)

    def get(self, uow: UnitOfWork, version: str) -> Programme:
        """The programme of that version; StoreError when the store does not hold its text."""
        if version == self.current.version:
            return self.current
        if version not in self._read:
            text = uow.clinics.programme(version)
            if text is None:
                raise StoreError(
                    f"programme version {version}: a stored course follows it, but its text is not in the database; "
                    "restore the database from a backup that has it"
                )
            self._read[version] = load_programme(text, f"stored programme {version}")
        return self._read[version]


@dataclass(frozen=True, slots=True)
class Work:
    """One piece of work. Nothing in it reads the clock; the caller commits."""

    uow: UnitOfWork
    now: dt.datetime
    new_id: NewId
    shelf: Shelf
    wording: Wording
    deciding: Callable[[], AbstractContextManager[object]] = nullcontext  # around the rule, for who measures it
