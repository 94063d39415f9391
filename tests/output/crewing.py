"""A crew that works with the day sheet in a browser."""

from pathlib import Path
from typing import Any

from tests.output.browsing import Seen, show


class Crew:
    """Somebody with the sheet in hand."""

    def __init__(self, seen: Seen, day: str) -> None:
        self.seen, self.page, self.day = seen, seen.page, day

    def at(self, clock: str) -> None:
        self.page.clock.set_fixed_time(f"{self.day}T{clock}:00")

    def stop(self, n: int) -> Any:
        return self.page.locator(f"#stop-{n}")

    def hive(self, n: int, name: str) -> Any:
        return self.stop(n).locator(".hive").filter(has=self.page.locator("h4", has_text=f"Hive {name}"))

    def box(self, n: int, box: int, part: str = "made") -> Any:
        number = self.page.locator("b.num", has_text=f"{box}")
        return self.stop(n).locator(f".{part}").filter(has=number).locator("input[type=checkbox]")

    def press(self, within: Any, name: str) -> None:
        within.get_by_role("button", name=name).first.click()

    def answer(self, *choices: str, write: str = "Write down", **amounts: object) -> None:
        asked = self.page.locator("#ask")
        for choice in choices:
            asked.get_by_role("radio", name=choice, exact=True).check()
        for name, value in amounts.items():
            asked.locator(f"#ask-{name}").fill(str(value))
        self.press(asked, write)

    def saved(self, folder: Path) -> Path:
        with self.page.expect_download() as waiting:
            self.page.get_by_role("button", name="Save to a file").click()
        path = folder / waiting.value.suggested_filename
        waiting.value.save_as(path)
        return path

    def said(self) -> str:
        return str(self.page.locator("#today").inner_text())


def crew_with(browser: Any, sheet: Path, day: str, **kind: Any) -> Crew:
    """Somebody who opens a sheet at eight in the morning of the day."""
    one = Crew(show(browser, sheet, **kind), day)
    one.page.clock.install(time=f"{day}T08:00:00")
    one.page.reload()
    return one
