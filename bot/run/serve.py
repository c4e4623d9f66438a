"""The service: polling, inbox, ticks and delivery side by side until it is told to stop."""

import asyncio
import json
import signal
from dataclasses import replace
from pathlib import Path

from bot.messaging.inbox import MOST_A_MINUTE
from bot.ports import Incoming
from bot.run.app import App, build
from bot.run.clock import random_id, utc_now
from bot.run.founding import keys_of, keys_or_founded
from bot.run.logs import set_up
from bot.run.parts import ALL, Part, check_parts, one_at_a_time
from bot.run.service import Service
from bot.settings import Settings, newest_copy
from bot.telegram import channel as telegram
from bot.telegram import updates as telegram_updates
from bot.telegram import webhook_secrets
from core.errors import SettingsError, StoreError
from core.programme import Programme
from core.programme.file import DEFAULT, programme_at
from core.records import Clinic, Update
from core.store import SqlStore, open_store

CLINIC_ID = "clinic"


def parse_update(update: Update) -> Incoming | None:
    """A stored update of the messaging service as something a person did."""
    return telegram_updates.parse(json.loads(update.payload), update.received_at)


PARSE = {telegram.NAME: parse_update}


def open_app(settings: Settings) -> tuple[App, SqlStore]:
    """The program on the clinic that the settings name: it must be there, and what it keeps of itself stays."""
    store = open_store(settings.database, keys_of(settings.database, settings.key_file, clinic_id=CLINIC_ID))
    return _app(settings, store, founding=False), store


def found_app(settings: Settings) -> tuple[App, SqlStore]:
    """The same for `setup` and `serve`: made where nothing is yet; its facts and programme are as the settings say."""
    _make_folder(settings.database)
    store = open_store(settings.database, keys_or_founded(settings.database, settings.key_file, clinic_id=CLINIC_ID))
    return _app(settings, store, founding=True), store


def _app(settings: Settings, store: SqlStore, *, founding: bool) -> App:
    clinic = Clinic(
        CLINIC_ID, settings.clinic_name, settings.clinic_zone, settings.language, settings.clinic_emergency,
        settings.undelivered_hours, settings.open_hours, settings.clinic_hours, settings.keep_months,
        settings.after_keeping,
    )  # fmt: skip
    parts = (programme_of(settings), clinic, settings.evening, PARSE, MOST_A_MINUTE)
    app = build(store, utc_now, random_id, *parts, founding=founding)
    return replace(app, chats=replace(app.chats, newest_copy=lambda: newest_copy(settings.copies)))


def _make_folder(database: str) -> None:
    kind, _, file = database.partition(":///")
    if kind != "sqlite":
        return
    folder = Path(file.partition("?")[0]).parent
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(f"folder {folder} cannot be made ({error.strerror}); check HOLDLOWER_DATABASE") from error


def programme_of(settings: Settings) -> Programme:
    """The clinic's own programme, one that comes with the package, or the default one."""
    return programme_at(settings.programme or DEFAULT)


def serve(settings: Settings, parts: frozenset[Part] = ALL) -> int:
    """Run these parts until SIGINT or SIGTERM; returns the exit code."""
    check_parts(parts, settings.database)
    if settings.token is None:
        raise SettingsError("HOLDLOWER_TOKEN is not set: put the bot's token into the settings, then start again")
    token = settings.token.get_secret_value()
    set_up(settings.log_level, secrets=[token, *webhook_secrets(token)], as_json=settings.log_format == "json")
    with one_at_a_time(settings.database):
        app, store = found_app(settings)
        try:
            return asyncio.run(_until_told(Service(app, settings, parts=parts)))
        finally:
            store.close()


async def _until_told(service: "Service") -> int:
    loop = asyncio.get_running_loop()
    for number in (signal.SIGINT, signal.SIGTERM):
        loop.add_signal_handler(number, service.stop)
    return await service.run()
