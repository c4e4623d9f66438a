"""A process that polls and delivers, to be killed by test_kill. Arguments: API, database, key, hours ahead."""

import asyncio
import datetime as dt
import sys

from bot.messaging.delivery import Delivery
from bot.messaging.intake import Intake
from bot.messaging.pace import Bucket, Pace
from bot.messaging.poller import Poller
from bot.ports import Rendered
from bot.run.in_store import in_thread
from bot.telegram import build_bot, greet
from bot.telegram.channel import TelegramChannel
from core.records import Outgoing
from core.store import open_store
from tests.standin.server import TOKEN


async def render(message: Outgoing) -> Rendered:
    return Rendered(message.key)


async def main(api: str, database: str, key: str, hours: str) -> None:
    """Work until killed."""

    def clock() -> dt.datetime:
        return dt.datetime.now(dt.UTC) + dt.timedelta(hours=int(hours))

    store = open_store(database, key.encode())
    bot = build_bot(TOKEN, api)
    await greet(bot)
    channel = TelegramChannel(bot)
    pace = Pace(Bucket(per_second=150, per_chat_s=0))
    delivery = Delivery(store, {"telegram": channel}, render, pace, clock, in_thread, owner="child")
    poller = Poller(bot, Intake(store, in_thread, channel.confirm_tap, asyncio.Event(), clock))
    forever = asyncio.Event()
    await asyncio.gather(poller.run(forever), delivery.run(forever, asyncio.Event()))


if __name__ == "__main__":
    asyncio.run(main(*sys.argv[1:]))
