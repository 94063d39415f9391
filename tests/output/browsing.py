"""Pages in a headless browser with the network off."""

import os
import shutil
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

BROWSER = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
PHONE = {"viewport": {"width": 390, "height": 844}, "is_mobile": True, "has_touch": True}
DESK = {"viewport": {"width": 1280, "height": 900}}


@dataclass
class Seen:
    """A page and what went wrong on it."""

    page: Any
    troubles: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)


def show(browser: Any, path: Path, first: str = "", **kind: Any) -> Seen:
    """Open a page with the network off and note every error, dialog and question to the outside.

    `first` is a script that runs before those of the page.
    """
    context = browser.new_context(**kind)
    context.set_offline(True)
    seen = Seen(context.new_page())

    def route(request: Any) -> None:
        seen.asked.append(request.request.url)
        request.abort()

    def dialog(box: Any) -> None:
        seen.troubles.append(f"dialog {box.message}")
        box.dismiss()

    seen.page.route(lambda url: not url.startswith("file://"), route)
    seen.page.on(
        "console", lambda m: seen.troubles.append(m.text) if m.type in ("error", "warning") else None
    )
    seen.page.on("pageerror", lambda e: seen.troubles.append(str(e)))
    seen.page.on("dialog", dialog)
    if first:
        seen.page.add_init_script(first)
    seen.page.goto(path.as_uri())
    if kind.get("java_script_enabled", True) and seen.page.locator("#map_day").count():
        seen.page.locator("html.drawn").wait_for(state="attached")
    return seen
