"""The command `holdlower`, and `python -m bot`: looks first whether it is our own packages that would be run."""

import importlib.util
import sys
from importlib.metadata import packages_distributions
from pathlib import Path

OURS = ("bot", "core")
WRONG = 2


def check_alone() -> None:
    """Raises ImportError where another `core` is found before ours, or another distribution brings one of the two."""
    here = Path(__file__).resolve().parents[1]
    found = importlib.util.find_spec("core")
    where = found and (found.origin or next(iter(found.submodule_search_locations or ()), None))
    if not where or not Path(where).resolve().is_relative_to(here / "core"):
        raise ImportError(f"the package core that Python finds is another one ({where}); use a venv of its own")
    known = packages_distributions()
    others = sorted({each for name in OURS for each in known.get(name, ()) if each.casefold() != "holdlower"})
    if others:
        raise ImportError(f"{', '.join(others)} brings a package called bot or core too; use a venv of its own")


def main() -> int:
    """Run the command line; a foreign package is named, not met as a traceback."""
    try:
        check_alone()
    except ImportError as error:
        print(f"holdlower: {error}", file=sys.stderr)
        return WRONG
    from bot.cli import main as run

    return run()


if __name__ == "__main__":
    sys.exit(main())
