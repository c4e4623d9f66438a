"""The weekly digest from the store to what is sent: gathered when it is made, so that its messages hold no facts."""

import datetime as dt
import logging
from collections.abc import Callable, Sequence

from bot.drawing import Drawing, DrawingError
from bot.ports import Rendered
from bot.run.in_store import InStore
from bot.wording.catalogue import Text, text_in
from bot.wording.digest import digest_message
from bot.wording.digest_file import Head, file_facts, file_name
from bot.wording.digest_picture import WEEKS, in_picture, panels_facts
from core.digest import Digest, in_file
from core.digest.course_line import CourseLine
from core.digest.patient_week import PatientWeek
from core.errors import RightsError
from core.ports import Store
from core.records import Outgoing, Staff
from core.use_cases.digesting import FILE, PICTURE, TEXT, gather, line_of
from core.use_cases.work import Shelf

log = logging.getLogger(__name__)

KINDS = (TEXT, PICTURE, FILE)
Clock = Callable[[], dt.datetime]


class DigestRendering:
    """Makes the parts of a digest, one after the other.

    The last week gathered is kept for the parts that follow: gathering anew for each of a hundred parts of a large
    caseload would take minutes, and the parts would not fit together.
    """

    def __init__(
        self, store: Store, shelf: Shelf, clinic: str, clock: Clock, in_store: InStore, drawing: Drawing
    ) -> None:
        self._store, self._shelf, self._clinic, self._clock = store, shelf, clinic, clock
        self._in_store, self._drawing = in_store, drawing
        self._kept: tuple[tuple[str, str, dt.datetime], Staff, Digest] | None = None

    async def __call__(self, message: Outgoing) -> Rendered:
        """One part as it is sent; a part that cannot be drawn is told in words. Raises StoreError."""
        text, part = text_in(message.facts["language"]), int(message.facts["part"])
        staff, week = await self._in_store(lambda: self._week(message))
        if message.kind == TEXT:
            return digest_message(text, week)
        try:
            if message.kind == PICTURE:
                return await self._picture(text, week, part)
            return await self._file(text, week, staff, part)
        except DrawingError as error:
            log.warning("a part of a digest was not drawn", extra={"why": str(error)})
            return Rendered(text("therapist.digest.not_drawn"))

    async def _picture(self, text: Text, week: Digest, part: int) -> Rendered:
        shown = [each for _, each in in_picture(week, part)]
        lines = await self._in_store(lambda: self._lines(week, shown, WEEKS))
        return Rendered("", picture=await self._drawing.digest_picture(panels_facts(text, week, lines, part)))

    async def _file(self, text: Text, week: Digest, staff: Staff, part: int) -> Rendered:
        lines = await self._in_store(lambda: self._lines(week, in_file(week, part), None))
        head = Head(self._clinic, staff.name, self._clock())
        paper = await self._drawing.pdf(file_facts(text, week, lines, head, part))
        return Rendered("", document=(file_name(text, week, part), paper))

    def _week(self, message: Outgoing) -> tuple[Staff, Digest]:
        key = (message.facts["staff"], message.facts["week"], message.at)
        if self._kept is None or self._kept[0] != key:
            with self._store.reading() as uow:
                staff = uow.staff(message.facts["staff"])
                if staff is None or staff.left_at is not None or not (staff.therapist and staff.confirmed):
                    raise RightsError("a digest was queued for somebody who is no therapist here any more", "not_yours")
                week = gather(uow, self._shelf, staff, dt.date.fromisoformat(message.facts["week"]))
            self._kept = key, staff, week
        return self._kept[1:]

    def _lines(self, week: Digest, patients: Sequence[PatientWeek], weeks: int | None) -> dict[str, CourseLine]:
        with self._store.reading() as uow:
            return {each.who.id: line_of(uow, each.who.id, week.sunday, weeks) for each in patients}
