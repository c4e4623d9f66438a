"""`python -m bot` is the same as `holdlower`."""

import sys

from bot.cli import main

sys.exit(main())
