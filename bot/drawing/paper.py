"""An A4 page and what is put on it: lines of text, tables, pictures, a foot on every page. The only user of fpdf."""

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from fpdf import FPDF
from fpdf.errors import FPDFException as PaperFault
from fpdf.fonts import TTFFont
from fpdf.util import Padding
from matplotlib import get_data_path

__all__ = ["DARK", "HALF_A_PAGE", "INK", "MARGIN", "QUIET", "SHADE", "WIDTH", "Paper", "PaperFault", "fonts"]

MARGIN, TOP, BOTTOM = 16.0, 13.0, 16.0  # millimetres
HALF_A_PAGE = 130.0
WIDTH = 210 - 2 * MARGIN
FAMILY = "text"
INK, QUIET, RULE, SHADE, DARK = (38, 48, 58), (107, 115, 123), (216, 212, 202), (243, 240, 232), (61, 53, 99)
PAD = 1.2  # between a column's edge and its words
UNKNOWN, UNSEEN = "\ufffd", "\n\u200c\u200d\u2068\u2069\ufe0f"
Colour = tuple[int, int, int]


def fonts() -> tuple[Path, Path]:
    """The plotting library's own font, regular and bold: text on paper looks like the text in the pictures."""
    folder = Path(get_data_path()) / "fonts" / "ttf"
    return folder / "DejaVuSans.ttf", folder / "DejaVuSans-Bold.ttf"


class Paper(FPDF):
    """A document with two fonts, an outline, and a foot with page numbers."""

    def __init__(self, foot: str, page: str) -> None:
        """`page` has the gaps {page} and {pages}."""
        super().__init__(format="A4")
        self._foot, self._page, self.going_on = foot, page, ""
        self.set_margins(MARGIN, TOP, MARGIN)
        self.set_auto_page_break(True, BOTTOM)
        for style, file in zip(("", "B"), fonts(), strict=True):
            self.add_font(FAMILY, style, file)
        self.set_line_width(0.2)

    def normalize_text(self, text: str) -> str:
        """A letter that the font lacks is shown as one that is not known, instead of as nothing."""
        font = self.fonts[FAMILY]
        known = font.cmap if isinstance(font, TTFFont) else ()
        return "".join(letter if ord(letter) in known or letter in UNSEEN else UNKNOWN for letter in text)

    def header(self) -> None:
        """Whose page it is, where one goes on over a page's end."""
        if self.going_on:
            self.write_line(self.going_on, 9, bold=True)
            self.ln(1.5)

    def footer(self) -> None:
        self.set_y(-13)
        self.rule()
        self.set_y(-11)
        self.pen(6.8, color=QUIET)
        self.cell(WIDTH - 24, 4, self._foot)
        self.cell(24, 4, self._page.format(page=self.page_no(), pages="{nb}"), align="R")

    def pen(self, size: float, *, bold: bool = False, color: Colour = INK) -> None:
        self.set_font(FAMILY, "B" if bold else "", size)
        self.set_text_color(*color)

    def rule(self, color: Colour = RULE) -> None:
        """A thin line across, at the present height."""
        self.set_draw_color(*color)
        self.line(MARGIN, self.get_y(), MARGIN + WIDTH, self.get_y())

    def write_line(self, words: str, size: float, *, bold: bool = False, color: Colour = INK, least: float = 6) -> None:
        """One line, made smaller until it fits, and cut where even the least size does not."""
        self.pen(size, bold=bold, color=color)
        while size > least and self.get_string_width(words) > WIDTH:
            size -= 0.5
            self.pen(size, bold=bold, color=color)
        while len(words) > 1 and self.get_string_width(words) > WIDTH:
            words = f"{words[:-2].rstrip()}…"
        self.cell(WIDTH, size * 0.5, words, new_x="LMARGIN", new_y="NEXT")

    def write_block(self, words: str, size: float, *, color: Colour = INK, x: float = MARGIN) -> None:
        """Words over as many lines as they take."""
        self.pen(size, color=color)
        self.set_x(x)
        self.multi_cell(MARGIN + WIDTH - x, size * 0.48, words, align="L", new_x="LMARGIN", new_y="NEXT")

    def height_of(self, words: str, size: float) -> float:
        """How much a block of these words takes, in millimetres."""
        self.pen(size)
        found: Any = self.multi_cell(WIDTH, size * 0.48, words, align="L", dry_run=True, output="HEIGHT")
        return float(found)

    def lines_of(self, words: str, width: float) -> list[str]:
        """The words cut into lines for a column of that width, in the present font."""
        if self.get_string_width(words) <= width - 2 * PAD:
            return [words]
        inside = Padding(left=PAD, right=PAD)
        found: Any = self.multi_cell(width, text=words, align="L", dry_run=True, output="LINES", padding=inside)
        return list(found)

    def grid(
        self, head: Sequence[str], rows: Sequence[Sequence[str]], widths: Sequence[float], *, size: float = 8.5,
        strong: int | None = None,
    ) -> None:  # fmt: skip
        """Rows under a head that is repeated on the next page; widths are shares. `strong` is a column in bold."""
        columns = [share * WIDTH / sum(widths) for share in widths]
        self._head(head, columns, size)
        for row in rows:
            cells = []
            for place, (words, width) in enumerate(zip(row, columns, strict=True)):
                self.pen(size, bold=place == strong)
                cells.append(self.lines_of(words, width))
            height = max(map(len, cells)) * size * 0.45 + 1.7
            if self.will_page_break(height):
                self.add_page()
                self._head(head, columns, size)
            self._row(cells, columns, size, height, strong)

    def _head(self, head: Sequence[str], columns: Sequence[float], size: float) -> None:
        self.pen(size - 1, color=QUIET)
        cells = [self.lines_of(words, width) for words, width in zip(head, columns, strict=True)]
        height = max(map(len, cells)) * (size - 1) * 0.42 + 1
        if self.will_page_break(height + 2 * size):
            self.add_page()
            self.pen(size - 1, color=QUIET)
        x, bottom = MARGIN, self.get_y() + height
        for lines, width in zip(cells, columns, strict=True):
            for number, line in enumerate(reversed(lines), 1):
                self.set_xy(x, bottom - 0.5 - number * (size - 1) * 0.42)
                self.cell(width, (size - 1) * 0.42, line)
            x += width
        self.set_xy(MARGIN, bottom)
        self.rule(QUIET)

    def _row(
        self, cells: Sequence[Sequence[str]], columns: Sequence[float], size: float, height: float, strong: int | None
    ) -> None:
        x, top = MARGIN, self.get_y()
        for place, (lines, width) in enumerate(zip(cells, columns, strict=True)):
            self.pen(size, bold=place == strong)
            for number, line in enumerate(lines):
                self.set_xy(x, top + 0.85 + number * size * 0.45)
                self.cell(width, size * 0.45, line)
            x += width
        self.set_xy(MARGIN, top + height)
        self.rule()

    def finish(self, title: str, language: str, made: dt.datetime) -> bytes:
        """The document as bytes; the same content gives the same bytes."""
        self.set_title(title)
        self.set_lang(language)
        self.set_creation_date(made)
        return bytes(self.output())
