"""Print the fault table: `python -m tests.faults` tries each fault by itself, `--short` the few that CI tries."""

import argparse
import asyncio
import sys

from tests.faults.rows import LONG, SHORT, try_out
from tests.postgres import Cluster

HEAD = ("what is done", "processes", "faults", "said", "lost or doubled", "asked wrongly", "decided wrongly",
        "messages", "unknown", "repeats", "one too many")  # fmt: skip


def main() -> int:
    """Returns 1 when anything went wrong."""
    parser = argparse.ArgumentParser(prog="python -m tests.faults", description=__doc__)
    parser.add_argument("--short", action="store_true")
    parser.add_argument("--only", default="", help="rows whose name contains this")
    chosen = parser.parse_args()
    print("| " + " | ".join(HEAD) + " |\n|" + " --- |" * len(HEAD), flush=True)
    cluster, wrong = Cluster(durable=True), 0
    try:
        for row in SHORT if chosen.short else LONG:
            if chosen.only not in row.name:
                continue
            counts = asyncio.run(try_out(row, cluster))
            cells = (
                row.name, row.where, counts.faults, counts.said, counts.answers_wrong, counts.questions_wrong,
                counts.decisions_wrong, counts.messages, counts.unknown, counts.repeats, counts.repeats_wrong,
            )  # fmt: skip
            print("| " + " | ".join(map(str, cells)) + " |", flush=True)
            wrong += counts.wrong
    finally:
        cluster.stop()
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
