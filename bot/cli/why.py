"""`holdlower why`: one day's decisions with every reason, number and source."""

import argparse
import datetime as dt
import os

from bot.cli.files import person_of
from bot.serve import CLINIC_ID, open_app
from bot.settings import load_settings
from bot.wording.catalogue import text_in
from bot.wording.staff_page import in_full
from core.errors import SettingsError
from core.records import Audit
from core.use_cases.person_page import decisions_on


def say_why(options: argparse.Namespace) -> int:
    """Print what was decided on that date, or last, and why; the look is in the trail, under no name."""
    date = _date(options.date)
    settings = load_settings(os.environ, options.settings)
    app, store = open_app(settings)
    try:
        with store.writing() as uow:
            work = app.work(uow)
            person = person_of(uow, options.person)
            found = decisions_on(work, person, date)
            uow.add_audit(Audit(CLINIC_ID, "", work.now, "decisions", person.id))
            uow.commit()
    finally:
        store.close()
    text = text_in(settings.language)
    if not found:
        print(text("cli.why.none", person=options.person, day=date) if date else text("therapist.decisions.none"))
    for decision in found:
        print("\n".join(in_full(text, decision)))
    return 0


def _date(written: str | None) -> dt.date | None:
    try:
        return dt.date.fromisoformat(written) if written else None
    except ValueError as error:
        raise SettingsError(f"{written}: expected a date as YYYY-MM-DD, such as 2026-01-05") from error
