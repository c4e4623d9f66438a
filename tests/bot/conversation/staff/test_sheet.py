"""The sheet that a therapist hands over in the room: scanned, read, and written on."""

import asyncio
import io
from pathlib import Path

import pytest
import segno
from pypdf import PdfReader

from bot.drawing import Drawing
from bot.drawing.sheet import draw_code, draw_sheet
from bot.drawn.routine import sheet_of
from tests.bot.conversation.chat import Clinics
from tests.bot.conversation.staff.desk import Desk


@pytest.fixture
def invited(clinic: Clinics, ben: Desk) -> dict[str, object]:
    ben.sends("invite", "Cellist")
    *_, sheet = (message for _, message, _ in clinic.delivered if message.kind == "invitation.sheet")
    return dict(sheet.words.to_draw)


def test_the_sheet_holds_the_way_in_the_first_holds_cautions_and_four_weeks_to_write_in(invited: dict[str, object]):
    paper = PdfReader(io.BytesIO(draw_sheet(sheet_of(invited))))
    text = " ".join(" ".join(page.extract_text().split()) for page in paper.pages)

    assert str(invited["way_in"][0]) in text  # type: ignore[index]
    for words in ("palm down", "4 holds of 15 seconds", "4 holds of 30 seconds", "hangs down", "Week 4", "Pain 0-10"):
        assert words in text
    assert "Cellist" not in text  # whoever finds it learns nothing of anybody
    assert text.count("GENTLE MOVES") == 1


def test_what_is_scanned_is_the_link_itself():
    """Against the module pattern that the library makes of the same link (ISO/IEC 18004), four quiet modules around."""
    link = "https://messaging.example/bot?start=ABCDEFGH"
    pixels = Dots(draw_code(link))
    modules = [[bool(cell) for cell in row] for row in segno.make(link, error="m", micro=False).matrix]

    assert pixels.modules() == modules


class Dots:
    """A black and white PNG by modules of ten pixels, without its border."""

    def __init__(self, png: bytes) -> None:
        from PIL import Image  # comes with the plotting library

        self._image = Image.open(io.BytesIO(png)).convert("1")

    def modules(self) -> list[list[bool]]:
        size = self._image.width // 10
        cell = lambda x, y: not self._image.getpixel((x * 10 + 5, y * 10 + 5))  # noqa: E731
        return [[cell(x, y) for x in range(4, size - 4)] for y in range(4, size - 4)]


def test_both_come_from_the_drawing_process(invited: dict[str, object], tmp_path: Path):
    async def drawn() -> tuple[bytes, bytes]:
        drawing = Drawing()
        try:
            return await drawing.code("https://messaging.example"), await drawing.sheet(sheet_of(invited))
        finally:
            drawing.close()

    code, sheet = asyncio.run(drawn())
    assert (code[:4], sheet[:5]) == (b"\x89PNG", b"%PDF-")
