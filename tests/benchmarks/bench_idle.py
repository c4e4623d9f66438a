"""What a service does to its database while nothing happens: statements and write transactions a second.

    python -m tests.benchmarks.bench_idle [--seconds 20]

One process beside the stand-in, on SQLite and on a PostgreSQL of its own: as it is, and where a pooler hands on nothing
of what processes tell each other, so that they look as often as they did before they told.
"""

import argparse
import asyncio
import datetime as dt
import tempfile
from collections import Counter
from pathlib import Path

from pydantic import SecretStr

from bot.run.app import build, random_id, utc_now
from bot.run.opening import CLINIC_ID
from bot.run.service import Service
from bot.settings import load_settings
from bot.telegram import channel as telegram
from bot.telegram.updates import parse_update
from core.programme.file import default_programme
from core.records import Clinic
from core.store import bell, open_store
from core.store.sealed import new_key
from tests.postgres import Cluster
from tests.standin import StandIn
from tests.standin.server import TOKEN
from tests.statements import statements

SETTLING_S = 3.0
CHANGES = ("BEGIN IMMEDIATE", "INSERT", "UPDATE", "DELETE", "WITH")


async def count(url: str, folder: Path, seconds: float) -> Counter[str]:
    store = open_store(url, new_key())
    clinic = Clinic(CLINIC_ID, "Fennel Lane", "UTC", "en", "")
    parse = {telegram.NAME: parse_update}
    app = build(store, utc_now, random_id, default_programme(), clinic, dt.time(19), parse)
    async with StandIn(utc_now) as standin:
        environ = {"HOME": str(folder), "HOLDLOWER_BASE_URL": standin.api, "HOLDLOWER_DATABASE": url}
        settings = load_settings(environ).model_copy(update={"token": SecretStr(TOKEN)})
        service = Service(app, settings)
        task = asyncio.create_task(service.run())
        await asyncio.sleep(SETTLING_S)
        with statements() as seen:
            await asyncio.sleep(seconds)
        service.stop()
        await task
    store.close()
    return Counter("changes" if each.startswith(CHANGES) else "looks" for each in seen)


def main(seconds: float) -> None:
    with tempfile.TemporaryDirectory() as place:
        folder, cluster = Path(place), Cluster(durable=True)
        try:
            urls = {"SQLite": str(folder / "clinic.sqlite"), "PostgreSQL": cluster.make("idle"),
                    "PostgreSQL, untold": cluster.make("untold")}  # fmt: skip
            for name, url in urls.items():
                if name.endswith("untold"):
                    bell._LISTEN = "LISTEN elsewhere"
                seen = asyncio.run(count(url, folder, seconds))
                each = {what: seen[what] / seconds for what in ("looks", "changes")}
                print(f"{name:18} idle: {each['looks']:.2f} looks and {each['changes']:.2f} changes a second")
        finally:
            cluster.stop()


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seconds", type=float, default=20.0)
    main(parser.parse_args().seconds)
