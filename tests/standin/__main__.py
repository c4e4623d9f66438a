"""The stand-in by hand: run the bot against it, and be the person yourself.

    python -m tests.standin --port 8099

Then start the bot with the shown token and base URL, and type. A line is said as it stands; `>3` taps the third button
of the newest message with buttons, `>label` the one with that label, `!edit TEXT` changes your last message, `!block`
and `!unblock` do what they say. The end of the input ends the stand-in.
"""

import argparse
import asyncio
import datetime as dt
import sys

from tests.standin.people import Person, Seen
from tests.standin.server import TOKEN, StandIn


def show(_: Person, seen: Seen) -> None:
    """Print what the chat received."""
    print(f"\n[{seen.message_id}] {seen.text}")
    if seen.photo is not None:
        print(f"    (a picture of {len(seen.photo)} bytes)")
    if seen.document is not None:
        print(f"    (a file {seen.document[0]} of {len(seen.document[1])} bytes)")
    numbered = [f"{number} {label}" for number, label in enumerate(seen.labels, 1)]
    if numbered:
        print("    " + " | ".join(numbered))
    sys.stdout.flush()


def act(person: Person, line: str, last: int) -> int:
    """Do what a typed line says; returns the id of the newest message said."""
    if line.startswith(">"):
        wanted = line[1:].strip()
        labels = next((seen.labels for seen in reversed(person.got) if seen.buttons), [])
        number = int(wanted) if wanted.isdecimal() and wanted not in labels else 0
        person.taps(labels[number - 1] if 1 <= number <= len(labels) else wanted)
    elif line.startswith("!edit "):
        person.edits(last, line.removeprefix("!edit "))
    elif line in ("!block", "!unblock"):
        person.blocks() if line == "!block" else person.unblocks()
    else:
        return person.says(line)
    return last


async def main() -> None:
    """Serve until the input ends."""
    parser = argparse.ArgumentParser(prog="python -m tests.standin", description=__doc__.splitlines()[0])
    parser.add_argument("--port", type=int, default=8099, help="loopback port, 0 for any free one")
    parser.add_argument("--name", default="Ines", help="what the service calls the person")
    chosen = parser.parse_args()
    async with StandIn(lambda: dt.datetime.now(dt.UTC), port=chosen.port) as server:
        person, last = server.person(chosen.name), 0
        server.on_seen = show
        print(f"base URL {server.api}\ntoken    {TOKEN}\nType; /start begins.", flush=True)
        while line := await asyncio.to_thread(sys.stdin.readline):
            try:
                last = act(person, line.strip(), last) if line.strip() else last
            except LookupError as error:
                print(f"    ({error.args[0]})", flush=True)
            for wrong in server.violations:
                print(f"    VIOLATION {wrong}", flush=True)
            server.violations.clear()


if __name__ == "__main__":
    asyncio.run(main())
