"""Files appear whole or not at all: what is held, full or in the way leaves all as it was."""

import errno
import os
import re
from pathlib import Path, PureWindowsPath
from typing import Any

import pytest

from routeplan.operation.start import example_files, start_files
from routeplan.output import contents
from routeplan.output.files import (
    AlreadyThereError,
    HeldError,
    is_held,
    write_new,
    write_whole,
)

OLD = {"plan.json": b"old", "plan.xlsx": b"old too"}
NEW = {"plan.json": b"new", "day.html": b"new", "plan.xlsx": b"new"}


def held_on_windows(code: int) -> OSError:
    """What Windows raises for a file that is open elsewhere, as far as another system can show it."""
    fault = PermissionError(errno.EACCES, "The process cannot access the file")
    fault.winerror = code  # type: ignore[attr-defined]
    return fault


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    target = tmp_path / "Bee yards #2" / "été 50%"
    write_whole(target, OLD)
    return target


def inside(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_all_are_written_and_nothing_else_is_left(folder: Path) -> None:
    assert write_whole(folder, NEW) == [folder / name for name in NEW]
    assert inside(folder) == NEW


@pytest.mark.parametrize("code", [5, 32, 33])
def test_a_file_open_elsewhere_is_named_and_all_stay(
    folder: Path, monkeypatch: pytest.MonkeyPatch, code: int
) -> None:
    replaced = os.replace

    def replacing(source: Path, target: Path) -> None:
        if Path(target).name == "plan.xlsx":
            raise held_on_windows(code)
        replaced(source, target)

    monkeypatch.setattr(os, "replace", replacing)
    with pytest.raises(HeldError) as fault:
        write_whole(folder, NEW)
    assert fault.value.name == "plan.xlsx"
    assert inside(folder) == OLD


def test_a_file_locked_even_for_reading_is_named_and_all_stay(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    reading = Path.read_bytes

    def locked(path: Path) -> bytes:
        if path == folder / "plan.json":
            raise held_on_windows(33)
        return reading(path)

    with monkeypatch.context() as patched:
        patched.setattr(Path, "read_bytes", locked)
        with pytest.raises(HeldError, match=r"^plan\.json is held"):
            write_whole(folder, NEW)
    assert inside(folder) == OLD


def test_a_full_disk_leaves_all_as_they_were(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    calls = iter(range(9))

    def full(handle: int) -> None:
        if next(calls) == 1:
            raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space left") as fault:
        write_whole(folder, NEW)
    assert not is_held(fault.value)
    assert inside(folder) == OLD


def test_every_content_is_on_disk_before_any_is_put_in_place(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    done: list[str] = []
    synced, replaced = os.fsync, os.replace

    def syncing(handle: int) -> None:
        done.append("sync")
        synced(handle)

    def replacing(source: Any, target: Any) -> None:
        done.append("replace")
        replaced(source, target)

    monkeypatch.setattr(os, "fsync", syncing)
    monkeypatch.setattr(os, "replace", replacing)
    write_whole(folder, NEW)
    first = done.index("replace")
    assert done[:first].count("sync") >= len(NEW)
    assert done.count("replace") == len(NEW)
    assert done[-1] == "sync" or os.name == "nt", "the names too"


def test_a_folder_in_the_way_is_no_held_file(folder: Path) -> None:
    (folder / "day.html").mkdir()
    with pytest.raises(OSError, match="directory") as fault:
        write_whole(folder, NEW)
    assert not isinstance(fault.value, HeldError)
    assert (folder / "plan.json").read_bytes() == b"old"


def test_new_files_are_written_only_where_none_of_them_is(folder: Path) -> None:
    with pytest.raises(AlreadyThereError) as fault:
        write_new(folder, NEW)
    assert fault.value.path == folder / "plan.json"
    assert inside(folder) == OLD
    assert write_new(folder, {"day.html": b"new"}) == [folder / "day.html"]


@pytest.mark.skipif(os.name == "nt", reason="links need rights there")
def test_a_link_that_leads_nowhere_is_in_the_way_too(folder: Path) -> None:
    (folder / "day.html").symlink_to(folder / "gone")
    with pytest.raises(AlreadyThereError):
        write_new(folder, {"day.html": b"new"})


DEVICES = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10))}
PLAN_FILES = [value for name, value in vars(contents).items() if name.isupper() and isinstance(value, str)]


@pytest.mark.parametrize(
    "name",
    [
        *start_files(),
        *start_files(workbook=True),
        *example_files(),
        *PLAN_FILES,
        "plan.json",
        "day.html",
        "plan.xlsx",
        "2027-05-15-to-share",
    ],
)
def test_every_name_can_be_one_on_windows(name: str) -> None:
    """Reserved characters and device names of Windows file systems, from memory."""
    path = PureWindowsPath(r"C:\Users\Zoë\Bee yards #2\été 50%") / name
    assert path.name == name
    assert path.parent.name == "été 50%"
    assert not re.search(r'[<>:"/\\|?*\x00-\x1f]|[ .]$', name)
    assert name.partition(".")[0].casefold() not in DEVICES
