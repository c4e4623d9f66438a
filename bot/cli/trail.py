"""`holdlower audit`: the trail, who did what and when, as CSV; filtered by person, staff and date."""

import argparse
import datetime as dt
import os
import sys
from zoneinfo import ZoneInfo

from bot.serve import CLINIC_ID, open_app
from bot.settings import Settings, load_settings
from core.errors import SettingsError
from core.records import Audit
from core.timetable import ONE_DAY, end_of_day
from core.use_cases.trail import trail_csv
from core.use_cases.work import Work


def print_trail(options: argparse.Namespace) -> int:
    """Print the lines that fit, oldest first; that it was read is a line, too."""
    settings = load_settings(os.environ, options.settings)
    app, store = open_app(settings)
    try:
        with store.writing() as uow:
            work = app.work(uow)
            written = trail_of(work, settings, options.person, options.staff, options.since, options.until)
            uow.add_audit(Audit(CLINIC_ID, "", work.now, "trail", options.person))
            uow.commit()
    finally:
        store.close()
    sys.stdout.write(written.replace("\r\n", "\n"))
    return 0


def trail_of(
    work: Work, settings: Settings, person: str | None, staff: str | None, since: str | None, until: str | None
) -> str:
    """The trail as CSV; dates are whole days of the clinic's zone, both in. Raises SettingsError for a wrong one."""
    zone = settings.clinic_zone
    first = end_of_day(_date(since) - ONE_DAY, zone) if since else None
    last = end_of_day(_date(until), zone) if until else None
    names = {each.id: each.name for each in work.uow.all_staff()}
    return trail_csv(work.uow.trail(person, staff, first, last), names, ZoneInfo(zone))


def _date(written: str) -> dt.date:
    try:
        return dt.date.fromisoformat(written)
    except ValueError as error:
        raise SettingsError(f"{written}: expected a date as YYYY-MM-DD, such as 2026-01-05") from error
