"""How large the day sheet is and how soon it answers: .venv/bin/python -m tests.bench.sheet

Rows: splits and hives of the day; bytes of the page; seconds to write it; seconds in a headless browser
(phone size) from opening the file until a press is written down.
"""

import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright

from routeplan.output.page import day_page
from tests.output.browsing import BROWSER, PHONE, QUIET, show
from tests.output.many import many_splits

ROWS = ((25, 300), (25, 4000), (100, 1000), (300, 4000))
PRESS = """
new MutationObserver((seen, watch) => {
  if (!document.documentElement || !document.documentElement.classList.contains('tool')) { return; }
  watch.disconnect();
  document.querySelector('#stop-1 .tools button').click();
  window.pressed = document.querySelector('#so-far').textContent ? performance.now() : NaN;
}).observe(document, {subtree: true, childList: true, attributes: true});
"""
"""Presses the first button as soon as it is there, and notes when that was written down, in milliseconds."""


def answers_s(browser: Any, path: Path) -> float:
    """Open a page and return when it has written down a press, seconds from the start of its loading."""
    seen = show(browser, path, first=PRESS, **PHONE)
    if seen.troubles:
        raise RuntimeError(f"{path}: {seen.troubles}")
    return float(seen.page.evaluate("window.pressed")) / 1000


def main() -> None:
    """Measure every row and print it."""
    with sync_playwright() as started, tempfile.TemporaryDirectory() as folder:
        browser = started.chromium.launch(executable_path=BROWSER, args=list(QUIET))
        for splits, hives in ROWS:
            day = many_splits(splits, hives)
            began = time.process_time()
            text = day_page(*day)
            wrote = time.process_time() - began
            path = Path(folder) / "day.html"
            path.write_text(text, encoding="utf-8")
            times = sorted(answers_s(browser, path) for _ in range(3))
            size = len(text.encode())
            sys.stdout.write(
                f"{len(day[1].splits):4} splits {len(day[0].hives):5} hives  {size:9,} bytes  "
                f"written in {wrote:4.1f} s  answers in {times[1]:5.2f} s ({times[0]:.2f}-{times[2]:.2f})\n"
            )
        browser.close()


if __name__ == "__main__":
    main()
