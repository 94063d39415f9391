"""Writing files whole or not at all."""

import os
import tempfile
from collections.abc import Mapping
from pathlib import Path


def write_whole(folder: Path, contents: Mapping[str, bytes]) -> list[Path]:
    """Write several files into a folder so that a reader sees each one old or new, never half.

    All are written beside their targets first; only when that has worked are they put in place.

    Raises
    ------
    OSError
        When something cannot be written; what was there before stays.
    """
    folder.mkdir(parents=True, exist_ok=True)
    waiting: list[tuple[str, Path]] = []
    try:
        for name, content in contents.items():
            handle, temporary = tempfile.mkstemp(prefix=f".{name}.", dir=folder)
            waiting.append((temporary, folder / name))
            with os.fdopen(handle, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            os.chmod(temporary, 0o644)
        for temporary, target in waiting:
            os.replace(temporary, target)
    finally:
        for temporary, _ in waiting:
            Path(temporary).unlink(missing_ok=True)
    return [target for _, target in waiting]
