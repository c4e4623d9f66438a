"""What tests of the commands share."""

from pathlib import Path

import pytest


@pytest.fixture
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder that is home: nothing of whoever runs the tests is read, and nothing written beside it."""
    monkeypatch.setenv("HOME", str(tmp_path))
    for name in ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "HOLDLOWER_BASE_URL"):
        monkeypatch.delenv(name, raising=False)
    return tmp_path
