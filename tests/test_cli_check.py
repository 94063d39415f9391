"""What `check` says: findings table by table, counts, a verdict in one line; the same as JSON; exit codes."""

import json
from pathlib import Path

import pytest

from routeplan import cli
from tests.operation.sound import SOUND, changed, write_operation
from tests.test_cli import change, run, start

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


@pytest.mark.parametrize("book", [False, True])
def test_what_the_season_says_stands_with_its_table(tmp_path: Path, book: bool) -> None:
    run("new", tmp_path, "--example", *(["--workbook"] if book else []))
    said = run("check", tmp_path).stdout.splitlines()
    label = "operation.xlsx, splits" if book else "splits.csv"
    heads = [line for line in said if not line.startswith(" ")]
    assert any(head.startswith(f"{label}: ") for head in heads)
    assert not any(head.startswith("splits:") for head in heads)


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


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_help_and_findings_on_a_console_that_lacks_letters(sound: Path, encoding: str) -> None:
    """What cannot be shown is replaced, and the run goes on; help needs no letter that could be missing."""
    strict = {"PYTHONIOENCODING": f"{encoding}:strict", "PYTHONUTF8": "0"}
    for name in ("", *cli.main.commands):
        done = start(*([name] if name else []), "--help", **strict)
        assert (done.returncode, done.stderr) == (0, b"")
    change(sound / "hives.csv", "007,Alder", "007,Łąka 蜂场")
    done = start("check", sound, **strict)
    assert done.returncode == cli.DATA_FAULT
    said = done.stdout.decode("cp1252" if encoding == "cp1252" else "utf-8")
    assert "hives.csv: 1 fault" in said
    assert ("“??ka ??”" in said) == (encoding == "cp1252"), "a console said to be ASCII gets UTF-8"
    assert b"Traceback" not in done.stderr


def test_new_check_and_a_verdict_in_a_folder_with_accents_blanks_and_signs(tmp_path: Path) -> None:
    folder = tmp_path / "Bee yards #2" / "été 50%"
    done = run("new", folder, "--example", "--workbook")
    assert done.stdout.splitlines() == [
        f"wrote {folder / name}" for name in ("operation.xlsx", "settings.toml")
    ]
    checked = run("check", folder)
    assert checked.exit_code == 0
    assert checked.stdout.splitlines()[-1].startswith(
        "Ready to plan: 18 yards, 190 hives, 16 splits asked for"
    )
    (folder / "~$operation.xlsx").write_bytes(b"left by a spreadsheet that has the file open")
    assert run("check", folder).stdout == checked.stdout, "its lock file is no workbook"


def test_a_plan_that_another_program_holds_is_one_line(sound: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    plan = sound / "plan.json"
    plan.write_bytes(b"{}")
    reading = Path.read_bytes

    def held(path: Path) -> bytes:
        if path == plan:
            raise PermissionError(13, "Permission denied")
        return reading(path)

    monkeypatch.setattr(Path, "read_bytes", held)
    done = run("audit", sound, plan)
    assert done.exit_code == cli.USAGE
    assert done.stderr == (
        f"Cannot read {plan}: Permission denied. Close it in other programs, and see that you may read it.\n"
    )
