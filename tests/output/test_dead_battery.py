"""What was entered is still there after the phone died: the browser is killed, not closed.

Within the blink that the sheet asks for: what it keeps is written through to the disk at each change.
"""

import os
import signal
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from routeplan.output.page import day_page
from tests.output.browsing import BROWSER, QUIET
from tests.output.sample import OPERATION, plan_of

WRITTEN_WITHIN_S = 0.5


@contextmanager
def running(profile: Path) -> Iterator[int]:
    """A browser of its own with that profile; killed outright at the end, with all its parts."""
    port_file = profile / "DevToolsActivePort"
    port_file.unlink(missing_ok=True)
    arguments = [
        *QUIET,
        "--headless=new",
        "--remote-debugging-port=0",
        f"--user-data-dir={profile}",
        "about:blank",
    ]
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    process = subprocess.Popen([str(BROWSER), *arguments], start_new_session=True, **quiet)  # type: ignore[call-overload]
    try:
        for _ in range(600):
            if port_file.exists() and port_file.read_text():
                break
            time.sleep(0.1)
        yield int(port_file.read_text().splitlines()[0])
    finally:
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()


@pytest.mark.skipif(BROWSER is None, reason="no Chromium of its own to kill")
@pytest.mark.skipif(not hasattr(os, "killpg"), reason="no process groups here")
def test_what_was_entered_outlives_the_browser(browser: Any, tmp_path: Path) -> None:
    sheet = tmp_path / "day.html"
    sheet.write_text(day_page(OPERATION, plan_of()), encoding="utf-8")
    connect = browser.browser_type.connect_over_cdp
    with running(tmp_path / "profile") as port:
        page = connect(f"http://127.0.0.1:{port}").contexts[0].new_page()
        page.goto(sheet.as_uri())
        page.locator("#stop-1").get_by_role("button", name="Arrived").click()
        page.get_by_label("capped into box 1").first.check()
        time.sleep(WRITTEN_WITHIN_S)
    with running(tmp_path / "profile") as port:
        page = connect(f"http://127.0.0.1:{port}").contexts[0].new_page()
        page.goto(sheet.as_uri())
        page.locator("#stop-1 button[aria-pressed=true]", has_text="Arrived").wait_for(timeout=5000)
        assert page.get_by_label("capped into box 1").first.is_checked()
