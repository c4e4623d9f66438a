"""The words of the sheet for a newcomer, for the therapist to hand over in the room."""

from dataclasses import asdict

from bot.drawn.routine import Diary, SheetFacts
from bot.wording.catalogue import Text
from bot.wording.dose import dose_line, how_lines, step_line
from bot.wording.filling import Facts, Pack, shown
from core.facts import DoseFacts
from core.records import Worded

WEEKS = 4
CALLS = ("stop", "condition", "call")  # told once, after the sets


def invitation_sheet(text: Text, facts: Facts) -> Worded:
    """A file to print: `steps` are the doses that people begin with, `emergency` the clinic's own sentence."""
    pack = Pack(text, facts["words"])
    first = facts["steps"][0]
    parts = [(step_line(text, first), tuple(_moves(text, first)))]
    parts += [(step_line(text, dose), _beside(text, dose, first)) for dose in facts["steps"][1:]]
    parts.append((text("sheet.cautions"), (*(Pack(text, first.words)(key) for key in CALLS), *_emergency(facts))))
    parts.append((text("sheet.why"), tuple(pack(f"why.{key}") for key in ("what", "load", "patience"))))
    way = "sheet.way.link" if facts["link"] else "sheet.way.code"
    sheet = SheetFacts(
        title=text("sheet.title"),
        clinic=shown(facts["clinic"], text("invitation.clinic")),
        foot=text("sheet.foot"),
        page=text("therapist.file.page", page="{page}", pages="{pages}"),
        language=text.language,
        made=facts["made"].isoformat(),
        file=text("sheet.file"),
        scan=facts["link"],
        way_in=(text(way, code=facts["code"]), text("sheet.until", until=text.day(facts["until"])), text("sheet.what")),
        parts=tuple(parts),
        diary=Diary(
            text("sheet.diary"), text("sheet.diary.how"),
            tuple(text(f"sheet.diary.{key}") for key in ("day", "pain", "sets", "notes")),
            tuple(text.weekday(day) for day in range(7)), text("sheet.diary.week", week="{week}"), WEEKS,
        ),
    )  # fmt: skip
    return Worded(text("invitation.sheet"), to_draw={"kind": "sheet", **asdict(sheet)})


def _moves(text: Text, dose: DoseFacts) -> list[str]:
    """How to do it, without the cautions, which stand below for all of it."""
    pack = Pack(text, dose.words)
    cautions = {pack(key) for key in CALLS}
    return [line for line in how_lines(text, dose) if line not in cautions]


def _beside(text: Text, dose: DoseFacts, first: DoseFacts) -> tuple[str, ...]:
    """A further step: where it asks for the same moves, how much of them is all there is to say."""
    same = [each.key for each in dose.exercises] == [each.key for each in first.exercises]
    return (f"{dose_line(text, dose)}.", text("sheet.same")) if same else tuple(_moves(text, dose))


def _emergency(facts: Facts) -> list[str]:
    return [facts["emergency"]] if facts["emergency"] else []
