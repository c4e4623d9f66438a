"""One process of the service as `holdlower serve` runs it, with a clock that can be set and an update that breaks it.

Arguments: the file with the clock's error in seconds, "quick" to wait less for leases and second tries, "speed=20" for
a clock that runs so much faster from the start on; the settings come by the environment as ever.
"""

import asyncio
import datetime as dt
import signal
import sys
from dataclasses import replace
from pathlib import Path

from bot.messaging import claims, poller
from bot.ports import Incoming
from bot.run import parts as holding
from bot.run.app import utc_now
from bot.run.logs import set_up
from bot.run.opening import found_app, one_at_a_time
from bot.run.service import Service
from bot.settings import load_settings
from bot.telegram import channel as telegram
from bot.telegram.updates import parse_update
from core.records import Update
from tests.faults.people import POISON

TICK_S = 0.2


def hurry() -> None:
    """Shorter pauses of the same kind, for tests that must not take minutes."""
    claims.FIRST_RETRY_S = 0.5
    claims.LEASE_S, claims.RENEW_S, claims.RECOVER_S = 5.0, 1.0, 1.0
    holding.LOOK_S = 0.5
    poller.CONFLICT_S = 1.0


def poisoned(update: Update) -> Incoming | None:
    """As a fault of ours would break on one update, again and again."""
    if POISON in update.payload:
        raise RuntimeError("this update breaks us")
    return parse_update(update)


async def main(error_file: Path, environ: dict[str, str], speed: float) -> int:
    settings = load_settings(environ)
    set_up(settings.log_level)
    began = utc_now()
    claims.RENEW_S /= speed

    def clock() -> dt.datetime:
        now = utc_now()
        return now + (now - began) * (speed - 1) + dt.timedelta(seconds=float(error_file.read_text() or 0))

    with one_at_a_time(settings.database_file):
        app = found_app(settings)
        store = app.store
        app = replace(app, clock=clock, parse={telegram.NAME: poisoned})
        service = Service(app, settings, tick_s=TICK_S)
        asyncio.get_running_loop().add_signal_handler(signal.SIGTERM, service.stop)
        try:
            return await service.run()
        finally:
            store.close()


if __name__ == "__main__":
    import os

    if "quick" in sys.argv:
        hurry()
    speeds = [float(each.removeprefix("speed=")) for each in sys.argv if each.startswith("speed=")]
    sys.exit(asyncio.run(main(Path(sys.argv[1]), dict(os.environ), *speeds or [1.0])))
