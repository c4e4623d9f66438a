"""`holdlower keys rotate`: a new key for names and texts, everything sealed with it, the old one put away."""

import argparse
import os

from bot.alone import one_at_a_time
from bot.founding import keys_of
from bot.keys import begin_change, end_change
from bot.serve import open_app
from bot.settings import Settings, load_settings
from bot.wording.catalogue import text_in
from core.errors import HoldlowerError


def rotate(options: argparse.Namespace) -> int:
    """Change the key; a change that was broken off is finished first, and no second one begun."""
    settings = load_settings(os.environ, options.settings)
    text = text_in(settings.language)
    broken_off = len(keys_of(settings.database, settings.key_file)) > 1
    with one_at_a_time(settings.database):
        _check_alone(settings)
        begin_change(settings.key_file)
        if broken_off:
            print(text("cli.keys.going_on"))
        store = open_app(settings)[1]
        try:
            count = store.reseal()
        finally:
            store.close()
        retired = end_change(settings.key_file)
    print(text("cli.keys.done", count=count))
    print(text("cli.keys.retired", file=retired, key=settings.key_file))
    return 0


def _check_alone(settings: Settings) -> None:
    """A process with the old key alone could not read what is sealed with the new one."""
    store = open_app(settings)[1]
    try:
        others = store.others()
    finally:
        store.close()
    if others:
        raise HoldlowerError(
            f"{others} other connections of holdlower to this database are open; stop every process of it first"
        )
