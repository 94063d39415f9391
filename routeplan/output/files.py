"""Writing files whole or not at all."""

import json
import os
import shutil
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from errno import EACCES, EBUSY
from pathlib import Path

SHARING = (5, 32, 33)
"""What Windows answers where a file is open elsewhere: access denied, sharing violation, lock violation."""


SUFFIX = ".routeplan"
"""Ends the names of files that are on their way."""
FORWARD, BACK = ".forward.json", ".back.json"
"""Lists of files that are being put in place, and being put back."""


class PartlyWrittenError(OSError):
    """Some files are new, and what was there before could not be put back; the message names them."""


class HeldError(OSError):
    """A file cannot be put in place because another program holds it; `name` is the file's."""

    def __init__(self, name: str) -> None:
        super().__init__(f"{name} is held by another program")
        self.name = name


class AlreadyThereError(OSError):
    """A file that was to be new is already there; `path` is where."""

    def __init__(self, path: Path) -> None:
        super().__init__(f"{path} is already there")
        self.path = path


def write_new(folder: Path, contents: Mapping[str, bytes]) -> list[Path]:
    """Write files where none of them is yet, all or none.

    Raises
    ------
    AlreadyThereError
        When one is already there; nothing is written then.
    OSError
        When something cannot be written.
    """
    for name in contents:
        if os.path.lexists(folder / name):
            raise AlreadyThereError(folder / name)
    return write_whole(folder, contents)


def write_whole(folder: Path, contents: Mapping[str, bytes]) -> list[Path]:
    """Write several files into a folder so that a reader sees each one old or new, never half.

    All are written beside their targets first; only when that has worked are they put in place. When one
    cannot be put in place (open elsewhere, say), those before it are put back as they were.

    Raises
    ------
    HeldError
        When another program holds one of the targets; what was there before stays.
    PartlyWrittenError
        When it does not stay, because it could not be put back.
    OSError
        When something cannot be written; what was there before stays.
    """
    folder.mkdir(parents=True, exist_ok=True)
    put_right(folder)
    scratch: list[Path] = []
    try:
        waiting = [
            Waiting(name, _beside(folder, name, content, scratch), _kept(folder / name, scratch))
            for name, content in contents.items()
        ]
        _put_in_place(folder, waiting)
        _settle(folder)
    finally:
        for temporary in scratch:
            temporary.unlink(missing_ok=True)
    return [folder / one.name for one in waiting]


def write_folder(folder: Path, contents: Mapping[str, bytes]) -> list[Path]:
    """Write a new folder whole: it is filled beside its place and then given its name.

    Parameters
    ----------
    contents : by name, which may lead into folders of the folder ("plans/plan.json").

    Raises
    ------
    AlreadyThereError
        When something of that name is already there; nothing is written then.
    OSError
        When something cannot be written.
    """
    if os.path.lexists(folder):
        raise AlreadyThereError(folder)
    folder.parent.mkdir(parents=True, exist_ok=True)
    for litter in folder.parent.glob(f".{folder.name}.*{SUFFIX}"):
        shutil.rmtree(litter)
    filling = Path(tempfile.mkdtemp(prefix=f".{folder.name}.", suffix=SUFFIX, dir=folder.parent))
    try:
        for name, content in contents.items():
            target = filling / name
            target.parent.mkdir(parents=True, exist_ok=True)
            with target.open("wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
        for inside in {(filling / name).parent for name in contents} | {filling}:
            _settle(inside)
        os.chmod(filling, 0o755)
        os.rename(filling, folder)
        _settle(folder.parent)
    except OSError:
        shutil.rmtree(filling, ignore_errors=True)
        raise
    return [folder / name for name in contents]


@dataclass(frozen=True)
class Waiting:
    """A file to be put in place: its new content and a copy of what stands there (None: nothing does)."""

    name: str
    new: Path
    old: Path | None


def put_right(folder: Path) -> None:
    """Finish what a power cut has broken off, so that files written together are all old or all new.

    A list of the files lies in the folder from the moment all are written beside their targets until all are
    in place; while it says "forward" they are put in place, while it says "back" they are put back.
    """
    for forward, journal in ((True, folder / FORWARD), (False, folder / BACK)):
        if journal.exists():
            rows = json.loads(journal.read_text(encoding="utf-8"))
            waiting = [
                Waiting(n, folder / new, None if old is None else folder / old) for n, new, old in rows
            ]
            if forward:
                for one in waiting:
                    if one.new.exists():
                        os.replace(one.new, folder / one.name)
            else:
                _put_back(folder, waiting)
            _settle(folder)
            journal.unlink()
    for litter in folder.glob(f".*{SUFFIX}"):
        litter.unlink(missing_ok=True)


def _beside(folder: Path, name: str, content: bytes, scratch: list[Path]) -> Path:
    """Write a content under a name of its own, to be put in place later."""
    handle, temporary = tempfile.mkstemp(prefix=f".{name}.", suffix=SUFFIX, dir=folder)
    scratch.append(Path(temporary))
    with os.fdopen(handle, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    os.chmod(temporary, 0o644)
    return Path(temporary)


def _put_in_place(folder: Path, waiting: list[Waiting]) -> None:
    rows = [[one.name, one.new.name, None if one.old is None else one.old.name] for one in waiting]
    scratch: list[Path] = []
    list_of = _beside(folder, "files", json.dumps(rows).encode(), scratch)
    _settle(folder)
    os.rename(list_of, folder / FORWARD)
    _settle(folder)
    name = ""
    try:
        for one in waiting:
            name = one.name
            os.replace(one.new, folder / name)
    except OSError as fault:
        os.rename(folder / FORWARD, folder / BACK)
        _settle(folder)
        try:
            _put_back(folder, waiting)
        finally:
            (folder / BACK).unlink()
        if is_held(fault):
            raise HeldError(name) from fault
        raise
    _settle(folder)
    (folder / FORWARD).unlink()


def is_held(fault: OSError) -> bool:
    """Whether a file could not be touched because another program has it open, or locked."""
    return getattr(fault, "winerror", None) in SHARING or fault.errno in (EACCES, EBUSY)


def _settle(folder: Path) -> None:
    """Have the new names kept through a power cut, where a folder can be opened for that."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _kept(target: Path, scratch: list[Path]) -> Path | None:
    """Copy what stands at a target; None where nothing does."""
    if not target.exists():
        return None
    try:
        content = target.read_bytes()
    except OSError as fault:
        if is_held(fault):
            raise HeldError(target.name) from fault
        raise
    copy = _beside(target.parent, target.name, content, scratch)
    shutil.copystat(target, copy)
    return copy


def _put_back(folder: Path, waiting: list[Waiting]) -> None:
    """Undo what was put in place, all that can be; what was not is left as it is."""
    stuck = []
    for one in waiting:
        if one.new.exists():
            continue
        target = folder / one.name
        try:
            if one.old is None:
                target.unlink(missing_ok=True)
            elif one.old.exists():
                os.replace(one.old, target)
        except OSError:
            stuck.append(target.name)
    if stuck:
        raise PartlyWrittenError(f"{' and '.join(stuck)} of the new plan could not be taken back")
