"""Other good plans: what is different, what they take more or less, and how to get one."""

import shlex
from dataclasses import dataclass

from routeplan.output import measures
from routeplan.output.day import Day
from routeplan.plan import Alternative

TAKES = "{today} today, {later} over four weeks; all counted {counted}."
AGAINST = "This plan has {ours} rather than {theirs}: {today} today, {later} over four weeks."
AGAINST_PLAIN = "This plan against it: {today} today, {later} over four weeks."
PROVED = "No plan of that kind counts less: proved."
FOUND = "The best found of that kind; not proved."
LEAST_S = 30
"""Seconds under which two plans take as long as each other: less than is shown."""
COMMAND = "routeplan plan FOLDER"
UNSAFE = set("\"'$`\\!\n")


@dataclass(frozen=True)
class Other:
    """One other plan, ready to be shown; `command` is empty where leaving out yards does not give it."""

    differs: str
    takes: str
    against: str
    stops: str
    receiving: str
    giving: str
    proof: str
    command: tuple[str, ...]


def others(day: Day) -> tuple[Other, ...]:
    """Return the other good plans, in the plan's order."""
    return tuple(_other(day, a) for a in day.plan.alternatives)


def more_or_less(seconds: int) -> str:
    """Write a difference: "9 min more", "66 min less", "as long"."""
    if abs(seconds) < LEAST_S:
        return "as long"
    return f"{measures.span(abs(seconds))} {'more' if seconds > 0 else 'less'}"


def _other(day: Day, a: Alternative) -> Other:
    return Other(
        differs=a.differs[:1].upper() + a.differs[1:],
        takes=TAKES.format(
            today=more_or_less(a.today_s), later=more_or_less(a.later_s), counted=more_or_less(a.counted_s)
        ),
        against=_against(day, a) if a.today_s < 0 else "",
        stops=", ".join(a.stops),
        receiving=_counted(a.receiving),
        giving=_counted(a.giving),
        proof=PROVED if a.proved else FOUND,
        command=command(a.without),
    )


def _against(day: Day, a: Alternative) -> str:
    """Say for a plan that is quicker today what this one gains for its longer day: "Q rather than P"."""
    splits = day.plan.splits
    pairs = (
        (dict.fromkeys(s.to_yard for s in day.splits()), dict(a.receiving)),
        (dict.fromkeys(s.from_yard for s in splits), dict(a.giving)),
    )
    today, later = more_or_less(-a.today_s), more_or_less(-a.later_s)
    for mine, its in pairs:
        ours, theirs = [y for y in mine if y not in its], [y for y in its if y not in mine]
        if ours and theirs:
            named = {"ours": measures.joined(ours), "theirs": measures.joined(theirs)}
            return AGAINST.format(**named, today=today, later=later)
    return AGAINST_PLAIN.format(today=today, later=later)


def _counted(yards: tuple[tuple[str, int], ...]) -> str:
    return ", ".join(f"{yard} {count}" for yard, count in yards)


def command(without: tuple[str, ...]) -> tuple[str, ...]:
    """Write the command that plans without these yards, in parts, safe to paste into a shell; () for none."""
    quoted = (shlex.quote(y) if UNSAFE & set(y) else f'"{y}"' for y in without)
    return (COMMAND, *(f"--avoid {name}" for name in quoted)) if without else ()
