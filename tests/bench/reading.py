"""Seconds and memory of reading: 5,000 hives in a workbook, and files as large as are read, or larger.

    python tests/bench/reading.py

Each row is `routeplan check` in a process of its own; memory is the most it held.
"""

import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import openpyxl

HEAD = ["hive", "yard", "frame", "queen", "temper", "health", "boxes", "supers", "inspected"]
HEAD += ["bees", "capped", "open", "food", "eggs_seen", "queen_cells", "mites", "note"]
HIVE = ["Alder", "deep", "marked", "calm", "ok", 1, 1, "2027-05-12", 14, 5.5, 3.5, 4, "yes", "none", 1.2, ""]


def write_small(folder: Path) -> None:
    """All tables but the hives, by themselves as CSV."""
    (folder / "yards.csv").write_text("yard,lat,lon,room,health\nAlder,52.0613,-2.7254,9,ok\n")
    (folder / "splits.csv").write_text("order,count,kit\nA,3,three-frame\n")
    (folder / "settings.toml").write_text('day = "2027-05-15"\n')


def workbook(folder: Path) -> Path:
    """5,000 hives, every column filled, in one workbook."""
    book = openpyxl.Workbook(write_only=True)
    hives, yards, splits = (book.create_sheet(name) for name in ("hives", "yards", "splits"))
    yards.append(["yard", "lat", "lon", "room", "health"])
    for i in range(100):
        yards.append([f"Y{i}", 52.06131 + i / 100, -2.72541 - i / 70, 9, "ok"])
    splits.append(["order", "count", "kit"])
    splits.append(["A", 3, "three-frame"])
    hives.append(HEAD)
    for i in range(5_000):
        hives.append([f"H{i}", f"Y{i // 50}", *HIVE[1:]])
    book.save(folder / "bees.xlsx")
    (folder / "settings.toml").write_text('day = "2027-05-15"\n')
    return folder


def hives_csv(megabytes: float) -> Callable[[Path], Path]:
    """A list of hives of so many million bytes."""

    def write(folder: Path) -> Path:
        write_small(folder)
        line = ",".join(map(str, HIVE))
        with (folder / "hives.csv").open("w") as file:
            file.write(",".join(HEAD) + "\n")
            for i in range(int(megabytes * 1e6 / (len(line) + 8))):
                file.write(f"{i},{line}\n")
        return folder

    return write


def long_notes(folder: Path) -> Path:
    """Just under 20 million bytes in 50,000 hives with long notes: as large a file as is read."""
    write_small(folder)
    line, note = ",".join(map(str, HIVE)), "x" * 310
    with (folder / "hives.csv").open("w") as file:
        file.write(",".join(HEAD) + "\n")
        for i in range(50_000):
            file.write(f"{i},{line}{note}\n")
    return folder


CASES: dict[str, Callable[[Path], Path]] = {
    "5,000 hives in a workbook": workbook,
    "50 MB of hives (CSV)": hives_csv(50),
    "5 MB of hives (CSV)": hives_csv(5),
    "20 MB, 50,000 hives with notes (CSV)": long_notes,
}


def main() -> None:
    """Print one line a case."""
    for name, write in CASES.items():
        with tempfile.TemporaryDirectory() as folder:
            source = write(Path(folder))
            start = time.perf_counter()
            before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime
            done = subprocess.run(
                [sys.executable, "-m", "routeplan", "check", str(source)], capture_output=True, text=True
            )
            seconds = time.perf_counter() - start
            usage = resource.getrusage(resource.RUSAGE_CHILDREN)
        first = (done.stdout + done.stderr).strip().splitlines()
        print(f"{name}: {seconds:.1f} s ({usage.ru_utime - before:.1f} s of work), exit {done.returncode}")
        print(f"  at most {usage.ru_maxrss // 1024} MB so far · {first[0][:110] if first else ''}")


if __name__ == "__main__":
    main()
