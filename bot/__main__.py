"""The command `holdlower`, and `python -m bot`: looks first whether it is our own packages that would be run."""

import importlib.util
import sys
from importlib.metadata import packages_distributions
from pathlib import Path

OURS = ("bot", "core")


def stranger() -> str | None:
    """What stands in the way: another `core` found before ours, or a distribution that brings one of the two too."""
    here = Path(__file__).resolve().parents[1]
    found = importlib.util.find_spec("core")
    where = Path(found.origin).resolve().parents[1] if found and found.origin else None
    if where != here:
        place = found.origin or next(iter(found.submodule_search_locations or ()), "?") if found else "none"
        return f"the package core that Python finds is another one ({place})"
    known = packages_distributions()
    others = sorted({each for name in OURS for each in known.get(name, ()) if each.casefold() != "holdlower"})
    return f"{', '.join(others)} brings a package called bot or core too" if others else None


def main() -> int:
    """Run the command line; a foreign package is named, not met as a traceback."""
    if problem := stranger():
        print(f"holdlower: {problem}; install holdlower into an environment of its own", file=sys.stderr)
        return 2
    from bot.cli import main as run

    return run()


if __name__ == "__main__":
    sys.exit(main())
