"""The command line on what comes after the day: dates that are missed."""

import shutil
from pathlib import Path

from tests.test_cli import TINY, run


def test_check_names_the_date_that_is_missed(tmp_path: Path) -> None:
    folder = tmp_path / "late"
    shutil.copytree(TINY, folder)
    settings = folder / "settings.toml"
    settings.write_text(settings.read_text() + '\n[year]\nlast_split = "2020-01-01"\n', encoding="utf-8")
    done = run("check", folder)
    assert done.exit_code == 0
    assert "too late: the last day to split is 2020-01-01" in done.stderr
