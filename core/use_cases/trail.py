"""The trail of what staff saw and did, as CSV (RFC 4180), one line an act, oldest first.

at           local time of the clinic with its offset, ISO 8601
staff        id of who did it; empty for what was done on the machine itself
name         of them, as the clinic knows it
action       what was done, a word of the program's
person       id of the patient it is about; empty when it is about nobody, or they were erased
detail       more of it, such as what was refused
"""

import datetime as dt
from collections.abc import Iterable, Mapping

from core.export.csv_rows import guarded, table
from core.records import Audit

COLUMNS = ("at", "staff", "name", "action", "person", "detail")


def trail_csv(lines: Iterable[Audit], names: Mapping[str, str], zone: dt.tzinfo) -> str:
    """The lines as a table; `names` are the staff's by id."""
    return table(
        COLUMNS,
        (
            [
                each.at.astimezone(zone).isoformat(timespec="seconds"),
                *map(guarded, (each.staff_id, names.get(each.staff_id, ""), each.action, each.person_id or "")),
                guarded(each.detail),
            ]
            for each in lines
        ),
    )
