"""How many examples a property is tried with: enough for each run, since each run draws others.

`HOLDLOWER_EXAMPLES=10 pytest tests/properties` tries ten times as many.
"""

import os

from hypothesis import HealthCheck, settings

TIMES = int(os.environ.get("HOLDLOWER_EXAMPLES", "1"))


def examples(most: int) -> settings:
    """So many, each of which may take long and be hard to find."""
    return settings(max_examples=most * TIMES, deadline=None, suppress_health_check=list(HealthCheck))
