"""What the season asks of the splits of a plan, in words: drones, dates that are missed, flows that end."""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from routeplan.colony.season import flow_over, late_orders
from routeplan.colony.timeline import timeline
from routeplan.colony.weak_orders import weak_orders
from routeplan.output import measures
from routeplan.output.day import Day

DRONES = "Young queens fly to mate {when} ({boxes}): grown drones must fly then."
FLOW = "{Boxes}: {words}."


def season_said(day: Day) -> tuple[str, ...]:
    """Say what the season asks of the splits; which dates they miss, which come down to too few bees."""
    made = {split.order for split in day.plan.splits}
    orders = (replace(order, to_yard=None) for order in day.operation.orders if order.id in made)
    made_of = replace(day.operation, orders=tuple(orders))
    late = [finding.message for finding in late_orders(made_of)]
    weak = [f"{finding.message} {finding.cure}" for finding in weak_orders(made_of)]
    return tuple(_dates_said(line) for line in (*late, *weak, *_flows(day), *_drones(day)))


def _drones(day: Day) -> Iterator[str]:
    """When the young queens of the splits fly to mate, all in one line; nothing where none has to."""
    queens = day.operation.settings.queens
    flights = [(split.id, timeline(split.queen, queens).flies) for split in day.splits()]
    spans = [span for _, span in flights if span]
    if spans:
        when = measures.days_after(
            day.plan.day, int(min(first for first, _ in spans)), int(max(last for _, last in spans))
        )
        yield DRONES.format(when=when, boxes=day.box_words(split for split, span in flights if span))


def _flows(day: Day) -> Iterator[str]:
    """Splits in a yard whose flow ends before they have bees of their own."""
    settings = day.operation.settings
    alike: dict[tuple[str, str], list[str]] = {}
    for split in day.splits() if settings.year.winter else ():
        alike.setdefault((split.to_yard, split.queen), []).append(split.id)
    for (yard, way), ids in alike.items():
        words = flow_over(day.plan.day, day.operation.yard(yard), timeline(way, settings.queens))
        if words:
            boxes = day.box_words(ids)
            yield FLOW.format(Boxes=boxes[0].upper() + boxes[1:], words=words)


def _dates_said(line: str) -> str:
    """Write dates as the sheet does: 2027-06-25 as Fri 25 June."""
    return re.sub(r"\d{4}-\d\d-\d\d", lambda found: measures.day_words(date.fromisoformat(found[0])), line)
