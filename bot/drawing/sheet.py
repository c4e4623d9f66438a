"""Lays out papers to be handed over: the routine with its pictures, a code to scan, a diary, a letter."""

import datetime as dt
import io

import segno

from bot.drawing.course import fonts
from bot.drawing.movement import HEIGHT, draw_movement
from bot.drawing.movement import WIDTH as ACROSS
from bot.drawing.paper import DARK, HALF_A_PAGE, INK, MARGIN, QUIET, WIDTH, Paper, PaperFault
from bot.drawn.routine import Diary, Part, SheetFacts

CODE_MM = 42.0
ROW_MM = 7.2
DATE, NUMBER = 26.0, 24.0  # columns of the diary, millimetres; what is left is for notes
PICTURE_GAP = 2.0
PICTURE_WIDE = (WIDTH - PICTURE_GAP) / 2
PICTURE_HIGH = PICTURE_WIDE * HEIGHT / ACROSS + 1.5
BORDER, SCALE = 4, 10  # ISO/IEC 18004: four quiet modules around a symbol; pixels a module


def draw_code(link: str) -> bytes:
    """The link as a QR code (ISO/IEC 18004), a PNG that a phone reads off another phone's display."""
    out = io.BytesIO()
    segno.make(link, error="m", micro=False).save(out, kind="png", scale=SCALE, border=BORDER)
    return out.getvalue()


def draw_sheet(facts: SheetFacts) -> bytes:
    """The PDF as bytes. Raises ValueError for facts that cannot be laid out."""
    try:
        paper = Paper(fonts(), facts.foot, facts.page)
        paper.add_page()
        _way_in(paper, facts)
        for part in facts.parts:
            _part(paper, part)
        if facts.diary:
            _diary(paper, facts.diary)
        return paper.finish(facts.title, facts.language, dt.datetime.fromisoformat(facts.made))
    except PaperFault as error:
        raise ValueError(f"the sheet cannot be laid out: {error}") from error


def _way_in(paper: Paper, facts: SheetFacts) -> None:
    paper.write_line(facts.clinic, 9, color=QUIET)
    paper.ln(1.5)
    paper.write_line(facts.title, 18, bold=True)
    paper.ln(2)
    top, left = paper.get_y(), MARGIN
    if facts.scan:
        left = MARGIN + CODE_MM + 6
        paper.image(io.BytesIO(draw_code(facts.scan)), x=MARGIN, y=top, w=CODE_MM, h=CODE_MM)
    for place, line in enumerate(facts.way_in):
        paper.write_block(line, 12 if not place else 10.5, x=left)
        paper.ln(1.5)
    paper.set_y(max(paper.get_y(), top + (CODE_MM if facts.scan else 0)) + 3)
    paper.rule()


def _part(paper: Paper, part: Part) -> None:
    """Kept in one piece unless it is long; its heading stays with the first paragraph and the pictures then."""
    heights = [paper.height_of(line, 10) + 0.7 for line in part.lines]
    begin, whole = heights[0] + _rows(part) * PICTURE_HIGH, sum(heights) + _rows(part) * PICTURE_HIGH
    if paper.will_page_break(8 + (whole if whole < HALF_A_PAGE else begin)):
        paper.add_page()
    paper.ln(2.5)
    if part.heading:
        paper.write_line(part.heading, 11.5, bold=True, color=DARK)
        paper.ln(0.5)
    for place, line in enumerate(part.lines):
        paper.write_block(line, 10)
        paper.ln(0.7)
        if not place and part.pictures:
            _pictures(paper, part)


def _rows(part: Part) -> int:
    return -(-len(part.pictures) // 2)


def _pictures(paper: Paper, part: Part) -> None:
    """Two in a row, as large as words in them need to be read on paper."""
    for row in range(_rows(part)):
        top = paper.get_y()
        for place, facts in enumerate(part.pictures[2 * row : 2 * row + 2]):
            drawn = io.BytesIO(draw_movement(facts))
            paper.image(drawn, x=MARGIN + place * (PICTURE_WIDE + PICTURE_GAP), y=top, w=PICTURE_WIDE)
        paper.set_y(top + PICTURE_HIGH)


def _diary(paper: Paper, diary: Diary) -> None:
    """One page a fortnight, rows high enough for a pen."""
    widths = (DATE, NUMBER, NUMBER, WIDTH - DATE - 2 * NUMBER)
    for week in range(1, diary.weeks + 1):
        if week % 2 == 1:
            paper.add_page()
            paper.write_line(diary.title, 16, bold=True)
            paper.ln(1)
            paper.write_block(diary.how, 10)
        paper.ln(3)
        paper.write_line(diary.week.format(week=week), 11.5, bold=True, color=DARK)
        paper.pen(8.5, color=QUIET)
        for words, width in zip(diary.head, widths, strict=True):
            paper.cell(width, 5, words)
        paper.ln(5)
        for day in diary.days:
            paper.pen(10, color=INK)
            paper.set_draw_color(*QUIET)
            for words, width in zip((day, "", "", ""), widths, strict=True):
                paper.cell(width, ROW_MM * 1.15, words, border=1)
            paper.ln(ROW_MM * 1.15)
