"""How much danger is stopped for or asked about, and how much that is harmless: on texts that nobody tuned on.

    python -m tests.benchmarks.bench_answers_heard FILE [--show]

FILE: a line a text: kind (A danger, B near miss, C ordinary answer), label, text, apart by tabs. A set that was looked
into has become training, so say beside a figure which look it is from.
"""

import argparse
from collections import Counter
from pathlib import Path

from core.answers import understand
from core.model import DANGER
from core.understanding import Understanding

KINDS = {"A": "danger", "B": "near miss", "C": "ordinary"}


def outcome(found: Understanding) -> str:
    """Stopped, asked by button (a complaint's question too), or neither."""
    if found.flag in DANGER:
        return "stopped"
    return "asked" if found.maybe or found.complaint or found.unreadable else "-"


def main(file: Path, show: bool) -> None:
    counts: Counter[tuple[str, str, str]] = Counter()
    for line in file.read_text(encoding="utf-8").splitlines():
        kind, label, text = line.split("\t")
        what = outcome(understand(text))
        counts[kind, label, what] += 1
        if show and (what == "-") == (kind == "A"):
            print(f"{KINDS[kind]:10} {label:12} {what:8} {text}")
    for kind, label in sorted({key[:2] for key in counts}):
        line = {what: counts[kind, label, what] for what in ("stopped", "asked", "-")}
        whole = sum(line.values())
        shares = ", ".join(f"{what} {count} ({count / whole:.1%})" for what, count in line.items() if what != "-")
        print(f"{KINDS[kind]:10} {label:12} {whole:4}: {shares}, neither {line['-']}")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("file", type=Path)
    parser.add_argument("--show", action="store_true", help="print what went wrong; the set is training from then on")
    chosen = parser.parse_args()
    main(chosen.file, chosen.show)
