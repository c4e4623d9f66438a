"""Messages from facts to what is sent: words at once, a picture from the child process where one belongs to it."""

import logging
from dataclasses import replace

from bot.drawing import Drawing, DrawingError
from bot.ports import Rendered
from bot.sending.digest_rendering import KINDS, DigestRendering
from bot.wording.messages import render
from bot.wording.progress import picture_facts
from core.records import Outgoing

log = logging.getLogger(__name__)

WITH_COURSE = ("progress", "therapist.person")  # their facts hold the days of a course


class Rendering:
    """Words a message for sending; a picture that cannot be had is left out, the words go all the same."""

    def __init__(self, drawing: Drawing, digest: DigestRendering) -> None:
        self._drawing, self._digest = drawing, digest

    async def __call__(self, message: Outgoing) -> Rendered:
        if message.kind in KINDS:
            return await self._digest(message)
        rendered = render(message.kind, message.facts)
        if message.kind not in WITH_COURSE or not message.facts["days"]:
            return rendered
        try:
            return replace(rendered, picture=await self._drawing.picture(picture_facts(message.facts)))
        except DrawingError as error:
            log.warning("sent without its picture", extra={"why": str(error)})
            return rendered
