"""A planner in a process of its own, measured."""

import os
import subprocess
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path
from typing import IO

ROOT = Path(__file__).resolve().parents[2]
OUTER_LIMIT_S = 300


@dataclass(frozen=True)
class Child:
    """How a process ended."""

    code: int
    seconds: float
    peak_mib: float
    out: str
    err: str


def run_child(command: list[str]) -> Child:
    """Run a command to its end and measure it; it is ended by force after OUTER_LIMIT_S."""
    with tempfile.TemporaryFile("w+") as out, tempfile.TemporaryFile("w+") as err:
        began = time.monotonic()
        process = subprocess.Popen(command, cwd=ROOT, stdout=out, stderr=err)
        while True:
            done, status, usage = os.wait4(process.pid, os.WNOHANG)
            if done:
                break
            if time.monotonic() - began > OUTER_LIMIT_S:
                process.kill()
            time.sleep(0.02)
        seconds = time.monotonic() - began
        process.returncode = os.waitstatus_to_exitcode(status)
        return Child(process.returncode, seconds, usage.ru_maxrss / 1024, _text(out), _text(err))


def _text(file: IO[str]) -> str:
    file.seek(0)
    return file.read()


def last_line(text: str) -> str:
    """Return the last line of what a process wrote."""
    lines = text.strip().splitlines()
    return lines[-1].strip() if lines else ""
