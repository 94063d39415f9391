"""Writing files whole or not at all."""

import os
import shutil
import tempfile
from collections.abc import Mapping
from errno import EACCES, EBUSY
from pathlib import Path

SHARING = (5, 32, 33)
"""What Windows answers where a file is open elsewhere: access denied, sharing violation, lock violation."""


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
    scratch: list[Path] = []
    try:
        waiting = []
        for name, content in contents.items():
            waiting.append((_beside(folder, name, content, scratch), folder / name))
        _put_in_place(waiting, scratch)
        _settle(folder)
    finally:
        for temporary in scratch:
            temporary.unlink(missing_ok=True)
    return [target for _, target in waiting]


def _beside(folder: Path, name: str, content: bytes, scratch: list[Path]) -> Path:
    """Write a content under a name of its own, to be put in place later."""
    handle, temporary = tempfile.mkstemp(prefix=f".{name}.", dir=folder)
    scratch.append(Path(temporary))
    with os.fdopen(handle, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    os.chmod(temporary, 0o644)
    return Path(temporary)


def _put_in_place(waiting: list[tuple[Path, Path]], scratch: list[Path]) -> None:
    done: list[tuple[Path, Path | None]] = []
    name = ""
    try:
        before = []
        for _, target in waiting:
            name = target.name
            before.append(_kept(target, scratch))
        for (temporary, target), old in zip(waiting, before, strict=True):
            name = target.name
            os.replace(temporary, target)
            done.append((target, old))
    except OSError as fault:
        _put_back(done)
        if is_held(fault):
            raise HeldError(name) from fault
        raise


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
    handle, copy = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
    os.close(handle)
    scratch.append(Path(copy))
    shutil.copy2(target, copy)
    return Path(copy)


def _put_back(done: list[tuple[Path, Path | None]]) -> None:
    """Undo what was put in place, all that can be."""
    stuck = []
    for target, old in done:
        try:
            if old is None:
                target.unlink()
            else:
                os.replace(old, target)
        except OSError:
            stuck.append(target.name)
    if stuck:
        raise PartlyWrittenError(f"{' and '.join(stuck)} of the new plan could not be taken back")
