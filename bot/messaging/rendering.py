"""What is ready to be sent: the words as they were queued, a picture or a paper drawn by the child process.

The weekly digest is worded here, too: its rows hold no facts of patients until it is made.
"""

import datetime as dt
import logging
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any, TypeVar

from pydantic import TypeAdapter

from bot.drawing import Drawing, DrawingError
from bot.drawn.course import ProgressFacts
from bot.drawn.routine import ClipFacts, MovementFacts, SheetFacts
from bot.ports import Rendered
from bot.run.in_store import InStore
from bot.wording.catalogue import Text, WordingError, text_in
from bot.wording.digest import digest_message
from bot.wording.digest_file import PANEL_WEEKS, Head, file_facts, file_name, in_picture, panels_facts
from core.digest import Digest, in_file
from core.digest.patient_week import CourseLine, PatientWeek
from core.errors import RightsError
from core.ports import Store, UnitOfWork
from core.records import Outgoing, Staff, Worded
from core.use_cases.digesting import FILE, PICTURE, TEXT, digest_made, gather, line_of
from core.use_cases.work import Work

log = logging.getLogger(__name__)

KINDS = (TEXT, PICTURE, FILE)


class DigestRendering:
    """Makes a digest and its parts, one after the other, outside any write transaction.

    The last week gathered is kept for the parts that follow: gathering anew for each of a hundred parts of a large
    caseload would take minutes, and the parts would not fit together.
    """

    def __init__(
        self, store: Store, work: Callable[[UnitOfWork], Work], clinic: str, in_store: InStore, drawing: Drawing
    ) -> None:
        self._store, self._work, self._clinic = store, work, clinic
        self._in_store, self._drawing = in_store, drawing
        self._kept: tuple[str, Staff, Digest, dt.datetime] | None = None

    async def __call__(self, message: Outgoing) -> Rendered:
        """One part as it is sent; a part that cannot be drawn is told in words. Raises StoreError."""
        if message.kind == TEXT:
            return Rendered.of(await self._in_store(lambda: self._words(message)))
        part = int(message.words.to_draw["part"])
        staff, week, now = await self._in_store(lambda: self._week(message))
        text = text_in(staff.language)
        try:
            if message.kind == PICTURE:
                return await self._picture(text, week, part)
            return await self._file(text, week, Head(self._clinic, staff.name, now), part)
        except DrawingError as error:
            log.warning("a part of a digest was not drawn", extra={"why": str(error)})
            return Rendered(text("therapist.digest.not_drawn"))

    def _words(self, message: Outgoing) -> Worded:
        """The digest in words, kept with its row so that its buttons can be typed, with the parts queued behind it."""
        if message.words.text:  # a further try
            return message.words
        staff, week, _ = self._week(message)
        made = digest_message(text_in(staff.language), week)
        words = replace(made, to_draw=message.words.to_draw)
        with self._store.writing() as uow:
            digest_made(self._work(uow), message, staff, words, week)
            uow.commit()
        return words

    async def _picture(self, text: Text, week: Digest, part: int) -> Rendered:
        shown = [each for _, each in in_picture(week, part)]
        lines = await self._in_store(lambda: self._lines(week, shown, PANEL_WEEKS))
        return Rendered("", picture=await self._drawing.draw(panels_facts(text, week, lines, part)))

    async def _file(self, text: Text, week: Digest, head: Head, part: int) -> Rendered:
        lines = await self._in_store(lambda: self._lines(week, in_file(week, part), None))
        paper = await self._drawing.draw(file_facts(text, week, lines, head, part))
        return Rendered("", document=(file_name(text, week, part), paper))

    def _week(self, message: Outgoing) -> tuple[Staff, Digest, dt.datetime]:
        facts = message.words.to_draw
        key = facts.get("digest", message.key)
        if self._kept is None or self._kept[0] != key:
            with self._store.reading() as uow:
                work = self._work(uow)
                staff = uow.staff.get(facts["staff"])
                if staff is None or staff.left_at is not None or not (staff.therapist and staff.confirmed):
                    raise RightsError("a digest was queued for somebody who is no therapist here any more", "not_yours")
                week = gather(uow, work.programmes, staff, dt.date.fromisoformat(facts["week"]))
            self._kept = key, staff, week, work.now
        return self._kept[1:]

    def _lines(self, week: Digest, patients: Sequence[PatientWeek], weeks: int | None) -> dict[str, CourseLine]:
        with self._store.reading() as uow:
            return {each.who.key: line_of(uow, each.who.id, week.sunday, weeks, each.who.side) for each in patients}


NOTHING = Worded()
Drawn = TypeVar("Drawn")


SHAPES = (ProgressFacts, ClipFacts, MovementFacts, SheetFacts)
READERS: dict[Any, TypeAdapter[Any]] = {shape: TypeAdapter(shape) for shape in SHAPES}


def read(shape: type[Drawn], kept: Mapping[str, object]) -> Drawn:
    """What is to be drawn, from the JSON values that were kept of it."""
    drawn: Drawn = READERS[shape].validate_python({name: each for name, each in kept.items() if name != "kind"})
    return drawn


INVITATION = "invitation"


class Rendering:
    """Draws what belongs to a message; a picture that cannot be had is left out, the words go all the same."""

    def __init__(self, drawing: Drawing, digest: DigestRendering) -> None:
        self._drawing, self._digest = drawing, digest

    async def __call__(self, message: Outgoing) -> Rendered:
        """Raises WordingError for a message whose words cannot be read any more."""
        words = message.words
        if words == NOTHING:
            raise WordingError("the words of this message were lost with their key")
        if message.kind in KINDS:
            return await self._digest(message)
        if not words.to_draw:
            return Rendered.of(words)
        try:
            return await self._with_drawn(message)
        except DrawingError as error:
            log.warning("sent without its picture", extra={"why": str(error)})
            return Rendered.of(replace(words, text=words.to_draw.get("instead", words.text)))

    async def _with_drawn(self, message: Outgoing) -> Rendered:
        words = message.words
        if message.kind == INVITATION:
            return replace(Rendered.of(words, await self._drawing.draw(words.to_draw["scan"])), may_be_kept=True)
        kept = dict(words.to_draw)
        kind = kept.pop("kind", "course")
        if kind == "sheet":
            sheet = read(SheetFacts, kept)
            return replace(Rendered.of(words), document=(sheet.file, await self._drawing.draw(sheet)))
        if kind == "clip":
            return Rendered.of(words, voice=await self._drawing.draw(read(ClipFacts, kept)))
        if kind == "movement":
            facts = read(MovementFacts, kept)
            drawn = await self._drawing.draw(facts)
            return Rendered.of(words, moving=drawn) if facts.moving else Rendered.of(words, drawn)
        return Rendered.of(words, await self._drawing.draw(read(ProgressFacts, kept)))
