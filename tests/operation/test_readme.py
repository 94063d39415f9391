"""data/README.md says of every column and setting what the code says, and nothing beside it."""

from pathlib import Path

from routeplan.operation.columns import TABLES
from routeplan.operation.setting_words import setting_keys
from routeplan.operation.units import SETTINGS
from tests.operation.pages import COLUMN_HEAD, SETTING_HEAD, column_line, other_header_lines, setting_line

PAGE = Path(__file__).parents[2] / "data" / "README.md"


def _section(title: str) -> list[str]:
    text = PAGE.read_text(encoding="utf-8")
    return text.split(f"\n## {title}\n")[1].split("\n## ")[0].splitlines()


def _table(title: str, head: str) -> list[str]:
    lines = _section(title)
    start = lines.index(head) + 2
    return [line for line in lines[start:] if line.startswith("|")]


def test_every_column() -> None:
    for name, columns in TABLES.items():
        assert _table(name, COLUMN_HEAD) == [column_line(column) for column in columns]


def test_every_setting() -> None:
    assert _table("settings.toml", SETTING_HEAD) == [setting_line(key) for key in setting_keys()]


def test_every_setting_in_another_unit() -> None:
    lines = (
        PAGE.read_text(encoding="utf-8").split("| instead of | you may give | unit |\n")[1].split("\n\n")[0]
    )
    told = [line.strip("| ").split(" | ")[:2] for line in lines.splitlines()[1:]]
    assert told == [[meant, other] for other, (meant, _) in SETTINGS.items()]


def test_every_other_header() -> None:
    lines = [line for line in _section("Other headers") if line.startswith("|")][2:]
    told = [line for table in TABLES for line in other_header_lines(table)]
    assert lines == told
