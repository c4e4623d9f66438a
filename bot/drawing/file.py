"""Lays out what is printed, in the child process: the digest's file, and papers to be handed over.

The file is the therapist's overview, then a page a patient. A paper is the routine with its pictures, a code to scan, a
diary, or a letter.
"""

import datetime as dt
import io

import segno

from bot.drawing import movement
from bot.drawing.course import STRIP_SIZE, strip
from bot.drawing.paper import DARK, HALF_A_PAGE, INK, MARGIN, QUIET, SHADE, WIDTH, Paper, PaperFault
from bot.drawn.course import FileFacts, LineWords, Overview, Page, Table
from bot.drawn.routine import Diary, Part, SheetFacts

TILES = 8  # counts in a row
CASELOAD = (7, 29.5, 36, 8.5, 10.5, 23, 36.5, 14.5, 12.5)  # shares of the page's width
WEEKS = (22, 10, 15, 13, 30, 18, 20, 20)
DECISIONS = (19, 9, 14, 24, 112)

CODE_MM = 42.0
ROW_MM = 7.2
DATE, NUMBER = 26.0, 24.0  # columns of the diary, millimetres; what is left is for notes
PICTURE_GAP = 2.0
PICTURE_WIDE = (WIDTH - PICTURE_GAP) / 2
PICTURE_HIGH = PICTURE_WIDE * movement.HEIGHT / movement.WIDTH + 1.5
BORDER, SCALE = 4, 10  # ISO/IEC 18004: four quiet modules around a symbol; pixels a module


def draw_file(facts: FileFacts) -> bytes:
    """The PDF as bytes. Pictures are drawn page by page, and only their few kilobytes are kept.

    Raises ValueError for facts that cannot be laid out.
    """
    try:
        paper = Paper(facts.foot, facts.page)
        if facts.overview is not None:
            _overview(paper, facts, facts.overview)
        for page in facts.pages:
            _patient(paper, facts, page)
        return paper.finish(facts.title, facts.language, dt.datetime.fromisoformat(facts.made))
    except PaperFault as error:
        raise ValueError(f"the file cannot be laid out: {error}") from error


def _overview(paper: Paper, facts: FileFacts, overview: Overview) -> None:
    paper.going_on = ""
    paper.add_page()
    paper.write_line(f"{facts.clinic}  ·  {facts.week}", 9, color=QUIET)
    paper.ln(1.5)
    paper.write_line(overview.title, 18, bold=True)
    paper.start_section(overview.title)
    paper.ln(3)
    _tiles(paper, overview.counts)
    for line in overview.lines:
        paper.write_block(line, 8.5, color=QUIET)
    paper.ln(2.5)
    if overview.caseload.rows:
        paper.going_on = facts.further.format(name=overview.title)
        paper.grid(overview.caseload.head, overview.caseload.rows, CASELOAD, size=8, strong=1)


def _tiles(paper: Paper, counts: tuple[tuple[str, str], ...]) -> None:
    """Large figures with what they count beneath, so many in a row."""
    width, height = WIDTH / TILES, 16.0
    top = paper.get_y()
    for place, (number, what) in enumerate(counts):
        x, y = MARGIN + place % TILES * width, top + place // TILES * height
        paper.set_xy(x, y)
        paper.pen(16, bold=True, color=DARK)
        paper.cell(width, 8, number)
        paper.pen(7.5, color=QUIET)
        for row, line in enumerate(paper.lines_of(what, width - 1)[:2]):
            paper.set_xy(x, y + 7.6 + row * 3.2)
            paper.cell(width, 3.4, line)
    paper.set_xy(MARGIN, top + -(-len(counts) // TILES) * height + 1)


def _patient(paper: Paper, facts: FileFacts, page: Page) -> None:
    paper.going_on = ""
    paper.add_page()
    paper.write_line(f"{facts.clinic}  ·  {facts.week}  ·  {page.number}", 9, color=QUIET)
    paper.ln(1.5)
    paper.write_line(page.name, 18, bold=True, least=10)
    paper.start_section(page.name)
    paper.going_on = facts.further.format(name=page.name)
    paper.ln(1)
    paper.write_line(f"{page.step}  ·  {page.about}", 10)
    paper.ln(1.5)
    _why(paper, page.why)
    _course(paper, page, facts.words)
    _titled(paper, page.weeks, WEEKS)
    paper.ln(2)
    for what, how in page.facts:
        _fact(paper, what, how)
    paper.ln(1)
    _titled(paper, page.decisions, DECISIONS, size=8)
    _lines(paper, *page.notices, size=8.5)
    _lines(paper, *page.numbers, size=6.8)


def _why(paper: Paper, why: str) -> None:
    """The reasons to look, set apart by a bar and a ground."""
    if not why:
        return
    paper.pen(10, bold=True)
    lines = paper.lines_of(why, WIDTH - 6)
    height = len(lines) * 5 + 3
    top = paper.get_y()
    paper.set_fill_color(*SHADE)
    paper.rect(MARGIN, top, WIDTH, height, "F")
    paper.set_fill_color(*DARK)
    paper.rect(MARGIN, top, 1.4, height, "F")
    for number, line in enumerate(lines):
        paper.set_xy(MARGIN + 3, top + 1.5 + number * 5)
        paper.cell(WIDTH - 4, 5, line)
    paper.set_xy(MARGIN, top + height + 2)


def _course(paper: Paper, page: Page, words: LineWords) -> None:
    height = WIDTH * STRIP_SIZE[1] / STRIP_SIZE[0]
    paper.image(strip(page.line, words), x=MARGIN, y=paper.get_y(), w=WIDTH, h=height)
    paper.set_y(paper.get_y() + height + 1)


def _titled(paper: Paper, table: Table, widths: tuple[float, ...], size: float = 8.5) -> None:
    paper.ln(1)
    paper.write_line(table.title, 10, bold=True)
    if table.rows:
        paper.grid(table.head, table.rows, widths, size=size)
    paper.ln(1)


def _fact(paper: Paper, what: str, how: str) -> None:
    top = paper.get_y()
    paper.pen(8.5, color=QUIET)
    paper.cell(24, 4.2, what)
    paper.set_xy(MARGIN, top)
    paper.write_block(how, 8.5, x=MARGIN + 24)
    paper.ln(0.4)


def _lines(paper: Paper, title: str, lines: tuple[str, ...], size: float) -> None:
    """A paragraph that stays in one piece where it can: a last line alone on a new page is easily lost."""
    if not lines:
        return
    height = size + sum(paper.height_of(line, size) for line in lines)
    if height < HALF_A_PAGE and paper.will_page_break(height):
        paper.add_page()
    paper.ln(1)
    paper.write_line(title, min(10, size + 1.5), bold=True)
    for line in lines:
        paper.write_block(line, size, color=QUIET if size < 8 else INK)


def draw_code(link: str) -> bytes:
    """The link as a QR code (ISO/IEC 18004), a PNG that a phone reads off another phone's display."""
    out = io.BytesIO()
    segno.make(link, error="m", micro=False).save(out, kind="png", scale=SCALE, border=BORDER)
    return out.getvalue()


def draw_sheet(facts: SheetFacts) -> bytes:
    """The PDF as bytes. Raises ValueError for facts that cannot be laid out."""
    try:
        paper = Paper(facts.foot, facts.page)
        paper.add_page()
        _way_in(paper, facts)
        for part in facts.parts:
            _part_of_sheet(paper, part)
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


def _part_of_sheet(paper: Paper, part: Part) -> None:
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
            drawn = io.BytesIO(movement.draw_movement(facts))
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
