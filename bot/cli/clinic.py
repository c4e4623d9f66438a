"""`holdlower invite`, `notices`, `clear` and `staff`: what the clinic does on the machine itself."""

import argparse
import asyncio
import json
import os
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from bot.cli.opened import make_sure, note, opened, person_of
from bot.ports import DeliveryError
from bot.run.app import App
from bot.run.opening import CLINIC_ID, open_app
from bot.settings import Settings, load_settings
from bot.telegram import LINK, build_bot, greet
from bot.wording.catalogue import Text, text_in
from core.errors import HoldlowerError
from core.records import Notice, Role, Staff, Status
from core.use_cases.clearing import clear
from core.use_cases.enrolling import CODE_LENGTH, CODE_LETTERS, invite
from core.use_cases.escalating import has_arrived
from core.use_cases.rights import leads
from core.use_cases.staffing import shut_out
from core.use_cases.work import Work

ASK_NAME_S = 8.0


def invite_one(options: argparse.Namespace) -> int:
    """Make one invitation and print its link and code; the code is shown here and never again."""
    settings = load_settings(os.environ, options.settings)
    app, store = open_app(settings)
    try:
        made = invitation_for(app, settings, Role(options.role), options.note.strip(), options.days)
    finally:
        store.close()
    print(json.dumps(made.facts) if options.json else "\n".join(made.lines(text_in(settings.language))))
    return 0


@dataclass(frozen=True, slots=True)
class Invited:
    """A new invitation, to be shown once."""

    role: Role
    code: str
    link: str | None
    problem: str  # why there is no link
    expires: str  # in the clinic's zone
    zone: str

    @property
    def facts(self) -> Mapping[str, str | None]:
        """For a program."""
        return {"role": self.role.value, "code": self.code, "link": self.link, "expires": self.expires}

    def lines(self, text: Text) -> list[str]:
        """For a person."""
        how = "cli.invite.how" if self.role == Role.PATIENT else "cli.invite.how.staff"
        return [
            *([text("cli.invite.link", link=self.link)] if self.link else []),
            text("cli.invite.code", code=self.code),
            text(how, expires=f"{self.expires} ({self.zone})"),
            *([text("cli.invite.older")] if self.role == Role.LEAD else []),
            *([text("cli.invite.no_link", why=self.problem)] if self.problem else []),
        ]


def invitation_for(app: App, settings: Settings, role: Role, name: str, days: int) -> Invited:
    """Make an invitation; `name` says whom it is for."""
    code = "".join(secrets.choice(CODE_LETTERS) for _ in range(CODE_LENGTH))
    with app.store.writing() as uow:
        work = app.work(uow)
        if role == Role.THERAPIST and not leads(work):
            raise HoldlowerError("no clinic lead is there to confirm a therapist: holdlower invite --role lead first")
        invitation = invite(work, CLINIC_ID, code, name, days, role)
        uow.commit()
    bot, problem = _bot_name(settings)
    expires = invitation.expires_at.astimezone(ZoneInfo(settings.clinic_zone))
    spelled = "-".join(code[at : at + 4] for at in range(0, CODE_LENGTH, 4))
    link = LINK.format(bot=bot, code=code) if bot else None
    return Invited(role, spelled, link, problem, f"{expires:%Y-%m-%d %H:%M}", settings.clinic_zone)


def list_notices(options: argparse.Namespace) -> int:
    """Print the notices, newest first, each with the person's id."""
    with opened(options) as (settings, text, work):
        notices = work.uow.notices.newest(CLINIC_ID)
        untold = {each.id for each in notices if each.look_at and not has_arrived(work, each)}
        names = {person.id: person.name for person in work.uow.people.all(CLINIC_ID)}
        note(work, "notices")
    zone = ZoneInfo(settings.clinic_zone)
    facts = [_notice(text, zone, each, names.get(each.person_id, ""), each.id in untold) for each in notices]
    if options.json:
        print(json.dumps(facts, ensure_ascii=False, indent=1))
        return 0
    for one in facts:
        print(text("cli.notices.line", **one | {"name": one["name"] or "?"}))
        if one["text"]:
            print(text("cli.notices.text", text=one["text"]))
        if one["untold"]:
            print(text("cli.notices.untold"))
    if not facts:
        print(text("cli.notices.none"))
    return 0


def _notice(text: Text, zone: ZoneInfo, notice: Notice, name: str, untold: bool) -> dict[str, Any]:
    key = f"notice.{notice.kind.value}"
    if "flag" in notice.facts and text.has(f"{key}.{notice.facts['flag']}"):
        key = f"{key}.{notice.facts['flag']}"
    said, at = " ".join(notice.text.split()), f"{notice.at.astimezone(zone):%Y-%m-%d %H:%M}"
    return {"at": at, "person": notice.person_id, "name": name, "kind": notice.kind.value, "what": text(key),
            "text": said, "untold": untold}  # fmt: skip


def clear_one(options: argparse.Namespace) -> int:
    """Let a stopped or screened-out person go on; the reason is kept beside the notices."""
    if not (reason := options.reason.strip()):
        raise HoldlowerError("--reason is empty: say in a few words why the person may go on")
    with opened(options) as (_, text, work):
        person = person_of(work, options.person)
        clear(work, person, reason)
        note(work, "clear", person.id, reason)
    print(text("cli.clear.done", name=person.name or person.id))
    return 0


def staff_of(options: argparse.Namespace) -> int:
    """List the staff, or shut one of them out."""
    if options.shut_out is not None:
        return _shut_out(options)
    with opened(options) as (_, text, work):
        facts = [_member(work, each) for each in work.uow.staff.all() if each.left_at is None]
    if options.json:
        print(json.dumps(facts, ensure_ascii=False, indent=1))
        return 0
    print("\n".join([_line(text, each) for each in facts] or [text("cli.staff.none")]))
    return 0


def _member(work: Work, staff: Staff) -> dict[str, Any]:
    role = "lead" if staff.lead else "therapist" if staff.confirmed else "waits"
    count = sum(each.status != Status.DISCHARGED for each in work.uow.people.of(staff.id))
    since = staff.unreachable_since
    blocked = f"{since:%Y-%m-%d %H:%M} UTC" if since else None
    return {"staff": staff.id, "name": staff.name, "role": role, "patients": count, "unreachable_since": blocked}


def _line(text: Text, member: Mapping[str, Any]) -> str:
    role = text(f"cli.staff.role.{member['role']}")
    line = text("cli.staff.line", staff=member["staff"], name=member["name"], role=role, count=member["patients"])
    since = member["unreachable_since"]
    return text("cli.staff.unreachable", line=line, since=since) if since else line


def _shut_out(options: argparse.Namespace) -> int:
    with opened(options) as (_, text, work):
        name = _colleague(work, options.shut_out).name
    make_sure(options, text, text("cli.staff.sure", name=name))
    with opened(options) as (_, text, work):
        count = shut_out(work, _colleague(work, options.shut_out))
        alone = not leads(work)
    print(text("cli.staff.done", name=name, count=count))
    if alone:
        print(text("cli.staff.no_lead"))
    return 0


def _colleague(work: Work, staff_id: str) -> Staff:
    staff = work.uow.staff.get(staff_id, lock=True)
    if staff is None:
        raise HoldlowerError(f"staff {staff_id}: nobody has this id; holdlower staff shows the ids")
    return staff


def _bot_name(settings: Settings) -> tuple[str | None, str]:
    """The bot's name for the link, or why the code alone must do; neither while there is no token yet."""
    if settings.token is None:
        return None, ""
    token = settings.token.get_secret_value()

    async def ask() -> str:
        bot = build_bot(token, settings.base_url)
        try:
            return await asyncio.wait_for(greet(bot, poll=False), ASK_NAME_S)
        finally:
            await bot.shutdown()

    try:
        return asyncio.run(ask()), ""
    except (TimeoutError, DeliveryError) as error:
        why = str(error) or f"{ASK_NAME_S:.0f} s"
        return None, text_in(settings.language)("cli.invite.not_reached", why=why)
    except HoldlowerError as error:
        return None, str(error)
