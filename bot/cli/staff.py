"""`holdlower staff`: who works here, and an end to somebody's access when their phone is lost."""

import argparse
import os

from bot.serve import open_app
from bot.settings import load_settings
from bot.wording.catalogue import Text, text_in
from core.errors import HoldlowerError
from core.records import Staff, Status
from core.use_cases.staffing import leads, shut_out
from core.use_cases.work import Work


def staff_of(options: argparse.Namespace) -> int:
    """List the staff, or shut one of them out."""
    settings = load_settings(os.environ, options.settings)
    text = text_in(settings.language)
    app, store = open_app(settings)
    try:
        with store.writing() as uow:
            work = app.work(uow)
            lines = _list(work, text) if options.shut_out is None else _shut_out(work, text, options.shut_out)
            uow.commit()
    finally:
        store.close()
    for line in lines:
        print(line)
    return 0


def _list(work: Work, text: Text) -> list[str]:
    staff = [each for each in work.uow.all_staff() if each.left_at is None]
    return [_line(work, text, each) for each in staff] or [text("cli.staff.none")]


def _line(work: Work, text: Text, staff: Staff) -> str:
    role = "lead" if staff.lead else "therapist" if staff.confirmed else "waits"
    count = sum(each.status != Status.DISCHARGED for each in work.uow.patients_of(staff.id))
    line = text("cli.staff.line", staff=staff.id, name=staff.name, role=text(f"cli.staff.role.{role}"), count=count)
    since = staff.unreachable_since
    return text("cli.staff.unreachable", line=line, since=f"{since:%Y-%m-%d %H:%M} UTC") if since else line


def _shut_out(work: Work, text: Text, staff_id: str) -> list[str]:
    staff = work.uow.staff(staff_id, lock=True)
    if staff is None:
        raise HoldlowerError(f"staff {staff_id}: nobody has this id; holdlower staff shows the ids")
    count = shut_out(work, staff)
    done = text("cli.staff.done", name=staff.name, count=count)
    return [done] if leads(work) else [done, text("cli.staff.no_lead")]
