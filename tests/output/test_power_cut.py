"""A power cut at any step of writing: a child process is killed there, and the next run puts things right.

The steps are the audit events of Python's file operations (PEP 578); the kill is SIGKILL, so that nothing of
the child runs after it. What the disk itself loses cannot be tried this way: files are synced before renames.
"""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from routeplan.output.files import put_right

TOP = Path(__file__).parents[2]
OLD, NEW = {"a": b"old a", "b": b"old b"}, {"a": b"new a", "b": b"new b", "c": b"new c"}
CHILD = """
import os, signal, sys
from pathlib import Path
from routeplan.output import files
folder, last, held = Path(sys.argv[1]), int(sys.argv[2]), sys.argv[3]
steps = ("open", "os.rename", "os.remove", "os.chmod", "tempfile.mkstemp", "os.listdir", "os.scandir")
count = 0
def step(event, args):
    global count
    if event in steps:
        count += 1
        if count == last:
            os.kill(os.getpid(), signal.SIGKILL)
replaced = os.replace
def replacing(source, target):
    if Path(target).name == held and "new" in Path(source).read_text():
        raise PermissionError(13, "held")
    replaced(source, target)
os.replace = replacing
sys.addaudithook(step)
try:
    files.write_whole(folder, {"a": b"new a", "b": b"new b", "c": b"new c"})
except files.HeldError:
    pass
"""

pytestmark = pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no SIGKILL here")


def write_and_die(folder: Path, step: int, held: str = "") -> bool:
    """Write in a child process killed at that step; return whether it was killed."""
    for name, content in OLD.items():
        (folder / name).write_bytes(content)
    command = [sys.executable, "-c", CHILD, str(folder), str(step), held]
    done = subprocess.run(command, env={**os.environ, "PYTHONPATH": str(TOP)}, check=False)
    assert done.returncode in (0, -signal.SIGKILL)
    return done.returncode != 0


def there(folder: Path) -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in folder.iterdir()}


@pytest.mark.parametrize("held", ["", "b", "c"])
def test_old_or_new_never_half(tmp_path: Path, held: str) -> None:
    """`held`: a file another program holds, so that what is in place is put back: cut there too."""
    seen, step = [], 1
    while True:
        folder = tmp_path / f"{step}"
        folder.mkdir()
        killed = write_and_die(folder, step, held)
        for name, content in there(folder).items():
            assert name.startswith(".") or content in (OLD.get(name), NEW[name]), (step, name)
        put_right(folder)
        after = there(folder)
        assert after in (OLD, NEW), (step, after)
        seen.append(after == NEW)
        if not killed:
            break
        step += 1
    assert step > 20, "the steps are seen"
    assert seen[0] is False
    assert seen[-1] is (held == "")
    if not held:
        assert seen == sorted(seen), "from one step on the new ones count"


def test_a_cut_while_putting_right_is_put_right_too(tmp_path: Path) -> None:
    """The first cut comes amid the renames, the second at any step of putting right."""
    again = CHILD.replace(
        'files.write_whole(folder, {"a": b"new a", "b": b"new b", "c": b"new c"})', "files.put_right(folder)"
    )
    first = next(n for n in range(1, 60) if _amid(tmp_path / f"find{n}", n))
    for step in range(1, 30):
        folder = tmp_path / f"{step}"
        folder.mkdir()
        write_and_die(folder, first)
        command = [sys.executable, "-c", again, str(folder), str(step), ""]
        done = subprocess.run(command, env={**os.environ, "PYTHONPATH": str(TOP)}, check=False)
        put_right(folder)
        assert there(folder) == NEW
        if done.returncode == 0:
            return
    raise AssertionError("it never came to an end")


def _amid(folder: Path, step: int) -> bool:
    """Whether a cut at that step leaves the first file new and the second old."""
    folder.mkdir()
    write_and_die(folder, step)
    found = there(folder)
    return found["a"] == NEW["a"] and found["b"] == OLD["b"]
