"""The sheet that a therapist hands over in the room: scanned, read, and written on."""

import asyncio
import io
from pathlib import Path

import pytest
import segno
from pypdf import PdfReader

from bot.drawing import Drawing
from bot.drawing.file import draw_code, draw_sheet
from bot.drawn.routine import SheetFacts
from bot.messaging.rendering import read
from tests.bot.conversation.chat import Clinics
from tests.bot.conversation.staff.desk import Desk, days


@pytest.fixture
def invited(clinic: Clinics, ben: Desk) -> dict[str, object]:
    ben.sends("invite", "Cellist")
    *_, sheet = (message for _, message, _ in clinic.delivered if message.kind == "invitation.sheet")
    return dict(sheet.words.to_draw)


def test_the_sheet_holds_the_way_in_the_first_holds_cautions_and_four_weeks_to_write_in(invited: dict[str, object]):
    paper = PdfReader(io.BytesIO(draw_sheet(read(SheetFacts, invited))))
    text = " ".join(" ".join(page.extract_text().split()) for page in paper.pages)

    assert str(invited["way_in"][0]) in text  # type: ignore[index]
    for words in ("palm down", "4 holds of 15 seconds", "4 holds of 30 seconds", "hangs down", "Week 4", "Pain 0-10"):
        assert words in text
    assert "Cellist" not in text  # whoever finds it learns nothing of anybody
    assert text.count("GENTLE MOVES") == 1
    assert sum(len(page.images) for page in paper.pages) == 2


def printed(clinic: Clinics, kind: str) -> tuple[str, int]:
    """The text of the latest paper of that kind, and how many pictures it has."""
    *_, message = (message for _, message, _ in clinic.delivered if message.kind == kind)
    paper = PdfReader(io.BytesIO(draw_sheet(read(SheetFacts, message.words.to_draw))))
    text = " ".join(" ".join(page.extract_text().split()) for page in paper.pages)
    return text, sum(len(page.images) for page in paper.pages)


def test_ones_own_step_on_paper_shows_each_exercise_the_dose_the_gate_and_when_to_call_but_no_name(
    clinic: Clinics, ben: Desk
):
    (cook,) = ben.has_many("Pastry cook")
    days(clinic, {cook: ["4, all"] * 16})
    course, programme = cook.course(), clinic.app.programmes.current
    assert course.episode.step == 3
    assert cook.sends("sheet") == ["how.sheet"]
    ben.opened(cook)
    ben.taps_label("Papers")
    assert ben.taps_label("Print the step") == ["therapist.sheet"]

    text, pictures = printed(clinic, "how.sheet")
    assert (text, pictures) == printed(clinic, "therapist.sheet")
    step, gate = programme.step(3), programme.step(4).gates[0]
    assert pictures == len(step.dose.exercises) == 2
    assert gate.hold_days
    for words in (
        "Step 3 of 8: long holds", f"with {course.episode.load_g / 1000:g} kg", "STOP if the pain is sharp",
        f"Stay on this step for {step.least_days.value:g} days or more.", "Call 112",
        f"The pain should be {gate.mean.value:g} or less", f"you need {gate.hold_days.value:g} days of holds",
    ):  # fmt: skip
        assert words in text, words
    assert "Pastry" not in text


def test_there_is_no_paper_while_there_are_no_sets(clinic: Clinics, ben: Desk):
    (cook,) = ben.has_many("Pastry cook")
    days(clinic, {cook: ["2, all", "my hand has gone numb"]})
    ben.opened(cook)
    ben.taps_label("Papers")
    assert ben.taps_label("Print the step") == ["therapist.refused"]
    assert cook.sends("sheet") == ["danger.still"]


def test_the_whole_programme_has_every_step_with_what_opens_the_next_and_each_picture_once(
    clinic: Clinics, ben: Desk
):
    assert ben.sends("sheet") == ["therapist.programme"]
    text, pictures = printed(clinic, "therapist.programme")
    steps = clinic.app.programmes.current.steps
    for step in steps[:-1]:
        assert f"Step {step.number} of 8:" in text
        assert f"Stay on this step for {step.least_days.value:g} days or more." in text
    # gentle moves, a hold without and with a weight, lowering, lifting and lowering
    assert pictures == 5
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
            return await drawing.draw("https://messaging.example"), await drawing.draw(read(SheetFacts, invited))
        finally:
            drawing.close()

    code, sheet = asyncio.run(drawn())
    assert (code[:4], sheet[:5]) == (b"\x89PNG", b"%PDF-")
