"""A small operation without a fault, as text; tests change one table of it at a time."""

from pathlib import Path

from routeplan.operation.findings import Finding
from routeplan.operation.read import read_operation
from routeplan.operation.world import Operation

SOUND = {
    "yards.csv": """\
yard,lat,lon,room,takes_splits,opens,closes,closed_days,health,gate
Alder,52.0601,-2.7200,2,no,,,,clear,
Birch,52.1301,-2.7200,6,yes,08:00,17:00,Sun,clear,0417
Cedar,52.0601,-2.6000,4,yes,,,,ok,
""",
    "hives.csv": """\
hive,yard,frame,queen,temper,health,queen_mother,boxes,supers,inspected,bees,capped,open,food,eggs_seen,note
007,Alder,deep,marked,calm,clear,yes,1,1,2027-05-12,14,5½,3.5,4,yes,
NA,Alder,deep,unmarked,normal,clear,no,2,0,2027-05-12,13,4 1/2,3,4,yes,"old queen, gentle"
1E5,Alder,deep,unknown,bad,ok,no,1,0,2027-05-11,9,3,2,3,,
""",
    "splits.csv": """\
order,count,kit,queen,from,to,by,priority
A,1,three-frame,raise own,,,2027-05-20,1
B,1,four-frame,mated,Alder,Birch,,2
""",
    "crews.csv": """\
crew,home,people,places
Wren,"52.0604, -2.7218",2,16
""",
    "stock.csv": "item,frame,count\ndrawn comb,deep,10\nfoundation,deep,10\nnuc box,deep,4\n",
    "weather.csv": "date,yard,max_c\n2027-05-15,,18.5\n",
    "pairs.csv": "yard,other,flying_km,drive_min\nAlder,Birch,,20\n",
    "kits.csv": "kit,capped,open,food,shakes,drawn,fill,frame\nthree-frame,1,1,1,2,,2,deep\n",
    "settings.toml": 'day = "2027-05-15"\n',
}


def write_operation(folder: Path, tables: dict[str, str]) -> Path:
    """Write the sound operation with some of its files changed; "" leaves a file out."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in (SOUND | tables).items():
        if text:
            (folder / name).write_text(text, encoding="utf-8")
    return folder


def read_changed(folder: Path, tables: dict[str, str]) -> tuple[Operation | None, list[Finding]]:
    return read_operation(write_operation(folder, tables))


def changed(name: str, old: str, new: str) -> dict[str, str]:
    """One file of the sound operation with one text changed; the text must be there."""
    assert old in SOUND[name], f"{old!r} is not in {name}"
    return {name: SOUND[name].replace(old, new)}
