"""One card a stop, in working order: what to place, what to take from which hive into which box."""

from dataclasses import dataclass

from routeplan.operation.world import Yard
from routeplan.output import card_words as say
from routeplan.output import measures
from routeplan.output.box_work import (
    BoxBegun,
    BoxMade,
    BoxPlaced,
    begun_steps,
    box_begun,
    box_made,
    box_placed,
    close_steps,
    place_steps,
)
from routeplan.output.day import Day, done_at
from routeplan.output.hive_work import HiveWork, hive_steps, hive_work
from routeplan.output.skipped import falls_away
from routeplan.output.taking import Need, needs, next_hives, rule_at
from routeplan.output.two_passes import FirstPass, collects, first_passes, told_at
from routeplan.plan import Stop


@dataclass(frozen=True)
class Card:
    """One stop. Texts are ready to be shown; `need` is what is taken here in all, `rule` how to take it,
    `next` the hives to go on with, by kind.
    """

    number: int
    yard: str
    job: str
    arrive: str
    depart: str
    drive: str
    facts: tuple[tuple[str, str], ...]
    times: tuple[tuple[str, str], ...]
    fence: str
    placed: tuple[BoxPlaced, ...]
    place_steps: tuple[str, ...]
    first_passes: tuple[FirstPass, ...]
    need: tuple[Need, ...]
    rule: tuple[str, ...]
    next: tuple[tuple[str, str], ...]
    none_next: bool
    hive_steps: tuple[str, ...]
    hives: tuple[HiveWork, ...]
    begun: tuple[BoxBegun, ...]
    begun_steps: tuple[str, ...]
    made: tuple[BoxMade, ...]
    close_steps: tuple[str, ...]
    aboard: str
    falls: tuple[str, ...]


def cards(day: Day) -> tuple[Card, ...]:
    """Return the cards of all stops, in order."""
    return tuple(_card(day, number, stop) for number, stop in enumerate(day.plan.stops, 1))


def _card(day: Day, number: int, stop: Stop) -> Card:
    yard = day.operation.yard(stop.yard)
    hives = {h.id: h for h in day.operation.hives if h.yard == yard.id}
    opened, told = [hives[name] for name in stop.opens], told_at(day, stop)
    return Card(
        number=number,
        yard=yard.id,
        job=" · ".join(done_at(day, stop)),
        arrive=measures.clock(stop.arrive),
        depart=measures.clock(stop.depart),
        drive=say.DRIVE.format(time=measures.span(stop.drive_s), distance=day.distance(stop.drive_m)),
        facts=_facts(yard),
        times=_times(stop),
        fence=say.FENCE_STEP.format(time=measures.span(stop.fence_s)) if stop.fence_s else "",
        placed=tuple(box_placed(day, split) for split in stop.places),
        place_steps=place_steps(day, stop),
        first_passes=first_passes(day, stop),
        need=needs(stop),
        rule=rule_at(day, told) if told.takes else (),
        next=(following := next_hives(day, told)),
        none_next=any(hives == say.NONE for _, hives in following),
        hive_steps=hive_steps(day, stop, opened) if opened else (),
        hives=tuple(hive_work(day, stop, hive) for hive in opened),
        begun=tuple(box_begun(day, stop, split) for split in stop.begins),
        begun_steps=begun_steps(day, stop),
        made=tuple(box_made(day, stop, split) for split in stop.makes),
        close_steps=close_steps(day, stop),
        aboard=f"{measures.counted(stop.full, 'full box', 'full boxes')}, {stop.empty} empty",
        falls=falls_away(day, number),
    )


def _facts(yard: Yard) -> tuple[tuple[str, str], ...]:
    hours = []
    if yard.opens_min is not None:
        hours.append(say.OPENS.format(time=measures.clock(60 * yard.opens_min)))
    if yard.closes_min is not None:
        hours.append(say.CLOSES.format(time=measures.clock(60 * yard.closes_min)))
    carry = say.CARRY.format(minutes=measures.number(yard.carry_min)) if yard.carry_min else ""
    texts = (yard.gate, yard.access, " ".join(hours), carry, yard.note)
    return tuple((name, text) for name, text in zip(say.YARD_FACTS, texts, strict=True) if text)


def _times(stop: Stop) -> tuple[tuple[str, str], ...]:
    before = (stop.early_s, stop.set_up_s, stop.fence_s, stop.place_s)
    lengths = (*before, stop.wait_s, stop.hive_s, stop.make_s, stop.leave_s)
    waits = {say.WORK[4]: say.WAIT_ABOVE} if collects(stop) else {}
    named = zip((waits.get(name, name) for name in say.WORK), lengths, strict=True)
    return tuple((name, measures.span(seconds)) for name, seconds in named if seconds)
