"""A browser for the tests of the page; without one they are skipped and say why."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.output.browsing import BROWSER, QUIET


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    with playwright.sync_playwright() as started:
        path = BROWSER or started.chromium.executable_path
        if not Path(path).exists():
            pytest.skip("no Chromium: set CHROMIUM or run `playwright install chromium`")
        opened = started.chromium.launch(executable_path=path, args=list(QUIET))
        yield opened
        opened.close()
