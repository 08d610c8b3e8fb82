"""Fixtures that several test files share."""

from __future__ import annotations

from typing import Any

import pytest

from chromium import browser
from postgres import fresh_database, postgres_server, postgres_url

__all__ = ["browser", "fresh_database", "postgres_server", "postgres_url", "recording_of"]


@pytest.fixture(scope="session")
def recording_of(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """``recording_of(sheet, ...)`` films a sheet as ``recordings.make_recording`` does, each once a session."""
    return pytest.importorskip("recordings").kept_in(tmp_path_factory.mktemp("recordings"))
