"""What `check` says: findings table by table, counts, a verdict in one line; the same as JSON; exit codes."""

import json
from pathlib import Path

import pytest

from routeplan import cli
from tests.operation.sound import SOUND, changed, write_operation
from tests.test_cli import change, run

READY = "Ready to plan: 3 yards, 3 hives, 2 splits asked for, Sat 2027-05-15"


@pytest.fixture
def sound(tmp_path: Path) -> Path:
    return write_operation(tmp_path / "sound", changed("splits.csv", "A,1,three-frame", "A,1,four-frame"))


def test_without_a_finding_the_verdict_is_all(sound: Path) -> None:
    done = run("check", sound)
    assert (done.exit_code, done.stderr) == (0, "")
    assert done.stdout == f"{READY}.\n"
    assert sorted(p.name for p in sound.iterdir()) == sorted(SOUND), "it only reads"


def test_findings_stand_below_their_table_with_counts(sound: Path) -> None:
    change(sound / "hives.csv", "007,Alder", "007,Aldre")
    change(sound / "hives.csv", "2027-05-11,9,3,2,3", "2027-05-11,nine,3,2,3")
    change(sound / "hives.csv", "eggs_seen,note", "egs seen,note")
    change(sound / "splits.csv", "A,1,four-frame", "A,1,four-farme")
    done = run("check", sound)
    assert (done.exit_code, done.stderr) == (cli.DATA_FAULT, "")
    lines = done.stdout.splitlines()
    heads = [line for line in lines if not line.startswith("  ")]
    assert heads == [
        "hives.csv: 2 faults, 1 warning",
        "splits.csv: 1 fault",
        "Not ready to plan: 3 faults to put right in 2 tables; 1 warning.",
    ]
    first, second, third = lines[1:4]
    assert first.startswith("  error: row 2, column yard: There is no yard “Aldre”")
    assert second.startswith("  error: row 4, column bees: “nine” is not a number")
    assert third.startswith("  warning: column egs seen: This column is not used")


def test_warnings_alone_are_ready_and_0(sound: Path) -> None:
    change(sound / "hives.csv", "eggs_seen,note", "egs seen,note")
    done = run("check", sound)
    assert done.exit_code == 0
    assert done.stdout.splitlines()[-1].endswith("Sat 2027-05-15; 1 warning.")


def test_a_table_that_must_be_there_is_named(sound: Path) -> None:
    (sound / "yards.csv").unlink()
    done = run("check", sound)
    assert done.exit_code == cli.DATA_FAULT
    assert done.stdout.startswith("yards.csv: 1 fault\n  error: is missing. ")


def test_json_for_programs(sound: Path) -> None:
    ready = run("check", sound, "--json")
    assert ready.exit_code == 0
    assert json.loads(ready.stdout) == {
        "ready": True,
        "verdict": f"{READY}.",
        "day": "2027-05-15",
        "errors": 0,
        "warnings": 0,
        "findings": [],
    }
    change(sound / "hives.csv", "007,Alder", "007,Łąka")
    faulty = run("check", sound, "--json")
    assert (faulty.exit_code, faulty.stderr) == (cli.DATA_FAULT, "")
    assert faulty.stdout.isascii(), "any console can show it"
    told = json.loads(faulty.stdout)
    assert (told["ready"], told["day"], told["errors"]) == (False, None, 1)
    (finding,) = told["findings"]
    assert (finding["level"], finding["table"], finding["row"], finding["column"], finding["found"]) == (
        "error",
        "hives.csv",
        2,
        "yard",
        "Łąka",
    )
