"""What several records hold."""

from collections.abc import Mapping
from typing import Any

Facts = Mapping[str, Any]  # JSON values only
