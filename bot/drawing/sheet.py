"""Lays out the sheet for a newcomer: a code to scan, the first holds, cautions, and a diary on paper."""

import datetime as dt
import io

import segno

from bot.drawing.course import fonts
from bot.drawing.paper import DARK, HALF_A_PAGE, INK, MARGIN, QUIET, WIDTH, Paper, PaperFault
from bot.drawn.routine import Diary, SheetFacts

CODE_MM = 42.0
ROW_MM = 7.2
DATE, NUMBER = 26.0, 24.0  # columns of the diary, millimetres; what is left is for notes
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
        for heading, lines in facts.parts:
            _part(paper, heading, lines)
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


def _part(paper: Paper, heading: str, lines: tuple[str, ...]) -> None:
    """Kept in one piece unless it is long; its heading stays with the first paragraph then."""
    heights = [paper.height_of(line, 10) + 0.7 for line in lines]
    whole = sum(heights)
    if paper.will_page_break(8 + (whole if whole < HALF_A_PAGE else heights[0])):
        paper.add_page()
    paper.ln(2.5)
    if heading:
        paper.write_line(heading, 11.5, bold=True, color=DARK)
        paper.ln(0.5)
    for line in lines:
        paper.write_block(line, 10)
        paper.ln(0.7)


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
