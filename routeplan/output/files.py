"""Writing files whole or not at all."""

import os
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path


class PartlyWrittenError(OSError):
    """Some files are new, and what was there before could not be put back; the message names them."""


def write_whole(folder: Path, contents: Mapping[str, bytes]) -> list[Path]:
    """Write several files into a folder so that a reader sees each one old or new, never half.

    All are written beside their targets first; only when that has worked are they put in place. When one
    cannot be put in place (open elsewhere, say), those before it are put back as they were.

    Raises
    ------
    PartlyWrittenError
        When even that cannot be done.
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
    before = [_kept(target, scratch) for _, target in waiting]
    done: list[tuple[Path, Path | None]] = []
    try:
        for (temporary, target), old in zip(waiting, before, strict=True):
            os.replace(temporary, target)
            done.append((target, old))
    except OSError:
        _put_back(done)
        raise


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
