"""Lays the digest out on paper: the therapist's overview, then a page a patient. Runs in the child process."""

import datetime as dt

from bot.drawing.course import STRIP_SIZE, fonts, strip
from bot.drawing.paper import DARK, HALF_A_PAGE, INK, MARGIN, QUIET, SHADE, WIDTH, Paper, PaperFault
from bot.drawn.course import FileFacts, LineWords, Overview, Page, Table

TILES = 8  # counts in a row
CASELOAD = (7, 29.5, 36, 8.5, 10.5, 23, 36.5, 14.5, 12.5)  # shares of the page's width
WEEKS = (22, 10, 15, 13, 30, 18, 20, 20)
DECISIONS = (19, 9, 14, 24, 112)


def draw_file(facts: FileFacts) -> bytes:
    """The PDF as bytes. Pictures are drawn page by page, and only their few kilobytes are kept.

    Raises ValueError for facts that cannot be laid out.
    """
    try:
        return _laid_out(facts)
    except PaperFault as error:
        raise ValueError(f"the file cannot be laid out: {error}") from error


def _laid_out(facts: FileFacts) -> bytes:
    paper = Paper(fonts(), facts.foot, facts.page)
    if facts.overview is not None:
        _overview(paper, facts, facts.overview)
    for page in facts.pages:
        _patient(paper, facts, page)
    return paper.finish(facts.title, facts.language, dt.datetime.fromisoformat(facts.made))


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
