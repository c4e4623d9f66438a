"""What is ready to be sent: the words as they were queued, a picture or a paper drawn by the child process."""

import logging
from dataclasses import replace

from bot.drawing import Drawing, DrawingError
from bot.drawn import clip, movement
from bot.drawn.progress import read_back
from bot.drawn.sheet import sheet_of
from bot.ports import Rendered
from bot.sending.digest_rendering import KINDS, DigestRendering
from bot.wording.catalogue import WordingError, text_in
from core.records import Outgoing, Worded

log = logging.getLogger(__name__)

NOTHING = Worded()
INVITATION, SHEET = "invitation", "invitation.sheet"


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
            return replace(Rendered.of(words, await self._drawing.code(words.to_draw["scan"])), may_be_kept=True)
        if message.kind == SHEET:
            paper = await self._drawing.sheet(sheet_of(words.to_draw))
            return replace(Rendered.of(words), document=(text_in(words.to_draw["language"])("sheet.file"), paper))
        kept = dict(words.to_draw)
        kind = kept.pop("kind", "course")
        if kind == "clip":
            return Rendered.of(words, voice=await self._drawing.clip(clip.read_back(kept)))
        if kind == "movement":
            facts = movement.read_back(kept)
            drawn = await self._drawing.movement(facts)
            return Rendered.of(words, moving=drawn) if facts.moving else Rendered.of(words, drawn)
        return Rendered.of(words, await self._drawing.picture(read_back(kept)))
