"""`holdlower invite`, `notices` and `clear`: what the clinic can do on the machine itself."""

import argparse
import asyncio
import os
import secrets
from zoneinfo import ZoneInfo

from bot.app import App
from bot.ports import DeliveryError
from bot.serve import CLINIC_ID, open_app
from bot.service import LINK
from bot.settings import Settings, load_settings
from bot.telegram_bot import build_bot, greet
from bot.wording.catalogue import text_in
from core.errors import HoldlowerError
from core.ports import UnitOfWork
from core.records import Audit, Notice, Role
from core.use_cases.clearing import clear
from core.use_cases.enrolling import CODE_LENGTH, CODE_LETTERS, invite
from core.use_cases.raising import has_arrived
from core.use_cases.rights import leads

ASK_NAME_S = 8.0


def invite_one(options: argparse.Namespace) -> int:
    """Make one invitation and print its link and code; the code is shown here and never again."""
    settings = _settings(options)
    app, store = open_app(settings)
    try:
        lines = invitation_for(app, settings, Role(options.role), options.note.strip(), options.days)
    finally:
        store.close()
    for line in lines:
        print(line)
    return 0


def invitation_for(app: App, settings: Settings, role: Role, note: str, days: int) -> list[str]:
    """A new invitation as lines to be shown once."""
    code = "".join(secrets.choice(CODE_LETTERS) for _ in range(CODE_LENGTH))
    with app.store.writing() as uow:
        work = app.work(uow)
        if role == Role.THERAPIST and not leads(work):
            raise HoldlowerError("no clinic lead is there to confirm a therapist: holdlower invite --role lead first")
        invitation = invite(work, CLINIC_ID, code, note, days, role)
        uow.commit()
    text = text_in(settings.language)
    name, problem = _bot_name(settings)
    expires = invitation.expires_at.astimezone(ZoneInfo(settings.clinic_zone))
    how = "cli.invite.how" if role == Role.PATIENT else "cli.invite.how.staff"
    return [
        *([text("cli.invite.link", link=LINK.format(bot=name, code=code))] if name else []),
        text("cli.invite.code", code="-".join(code[at : at + 4] for at in range(0, CODE_LENGTH, 4))),
        text(how, expires=f"{expires:%Y-%m-%d %H:%M} ({settings.clinic_zone})"),
        *([text("cli.invite.older")] if role == Role.LEAD else []),
        *([text("cli.invite.no_link", why=problem)] if problem else []),
    ]


def list_notices(options: argparse.Namespace) -> int:
    """Print the notices, newest first, each with the person's id."""
    settings = _settings(options)
    app, store = open_app(settings)
    try:
        with store.writing() as uow:
            notices = uow.notices(CLINIC_ID)
            untold = {each.id for each in notices if each.look_at and not has_arrived(app.work(uow), each)}
            names = {person.id: person.name for person in uow.people(CLINIC_ID)}
            _note(app, uow, "notices")
            uow.commit()
    finally:
        store.close()
    text = text_in(settings.language)
    if not notices:
        print(text("cli.notices.none"))
    for notice in notices:
        _print_notice(settings, notice, names.get(notice.person_id, ""))
        if notice.id in untold:
            print(text("cli.notices.untold"))
    return 0


def clear_one(options: argparse.Namespace) -> int:
    """Let a stopped or screened-out person go on; the reason is kept beside the notices."""
    settings = _settings(options)
    app, store = open_app(settings)
    try:
        name = _clear(app, options.person, options.reason)
    finally:
        store.close()
    print(text_in(settings.language)("cli.clear.done", name=name or options.person))
    return 0


def _clear(app: App, person_id: str, reason: str) -> str:
    if not reason.strip():
        raise HoldlowerError("--reason is empty: say in a few words why the person may go on")
    with app.store.writing() as uow:
        person = uow.person(person_id, lock=True)
        if person is None:
            raise HoldlowerError(f"person {person_id}: nobody has this id; holdlower notices shows the ids")
        clear(app.work(uow), person, reason.strip())
        _note(app, uow, "clear", person_id, reason.strip())
        uow.commit()
        return person.name


def _note(app: App, uow: UnitOfWork, action: str, person_id: str | None = None, detail: str = "") -> None:
    """The trail names no member of staff for what is done on the machine itself."""
    uow.add_audit(Audit(CLINIC_ID, "", app.clock(), action, person_id, detail))


def _print_notice(settings: Settings, notice: Notice, name: str) -> None:
    text = text_in(settings.language)
    key = f"notice.{notice.kind.value}"
    if "flag" in notice.facts and text.has(f"{key}.{notice.facts['flag']}"):
        key = f"{key}.{notice.facts['flag']}"
    at = notice.at.astimezone(ZoneInfo(settings.clinic_zone))
    when = f"{at:%Y-%m-%d %H:%M}"
    print(text("cli.notices.line", at=when, person=notice.person_id, name=name or "?", what=text(key)))
    if notice.text:
        print(text("cli.notices.text", text=" ".join(notice.text.split())))


def _settings(options: argparse.Namespace) -> Settings:
    return load_settings(os.environ, options.settings)


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
