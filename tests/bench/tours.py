"""The order of visits for errands that are settled: all tours while they are few, else the best on the way.

A tour grows node by node; a node makes (or places) what one load has for one yard. Of tours that have done
the same nodes and end at the same one, those that are earliest and those that have driven and worked least
are kept.
"""

from dataclasses import dataclass
from typing import NamedTuple

from tests.bench.walk import Day, Key, Made, Takes, Walk, hive_s, plus
from tests.oracle import meanings
from tests.oracle.meanings import HOME, Out

KEPT = 400
"""Tours kept at each length."""
TRIED = 12
"""Whole tours handed to the judge."""


@dataclass(frozen=True)
class Errand:
    """One split on its way: its load, where it is made and placed, its row in the orders, its donors."""

    load: int
    source: str
    target: str
    order: int
    takes: Takes


class Node(NamedTuple):
    """All that one load has made, or placed, in one yard."""

    load: int
    yard: str
    makes: bool


class Tour(NamedTuple):
    """Nodes done so far in order, the earliest the crew is done, and seconds of driving and work."""

    nodes: tuple[int, ...]
    at_s: int
    busy_s: int


def nodes_of(errands: list[Errand]) -> list[Node]:
    """List the nodes, makings first."""
    made = {Node(e.load, e.source, True) for e in errands}
    return sorted(made | {Node(e.load, e.target, False) for e in errands}, key=lambda n: (not n.makes, n))


def tours(day: Day, errands: list[Errand]) -> list[list[Node]]:
    """Return the best few tours that keep hours and load by the earliest clock; none when none does."""
    nodes = nodes_of(errands)
    if not nodes:
        return []
    grown = _Growing(day, errands, nodes)
    level = [Tour((), 60 * day.op.crew.start_min, 0)]
    for _ in nodes:
        best: dict[tuple[frozenset[int], int, str], Tour] = {}
        for tour in level:
            for n in range(len(nodes)):
                longer = grown.longer(tour, n)
                if longer is None:
                    continue
                done = frozenset(longer.nodes)
                for by, rank in (("early", longer[1:]), ("busy", longer[:0:-1])):
                    key = (done, n, by)
                    known = best.get(key)
                    if known is None or rank < (known[1:] if by == "early" else known[:0:-1]):
                        best[key] = longer
        distinct = {t.nodes: t for t in best.values()}.values()
        level = sorted(distinct, key=lambda t: (t.at_s + t.busy_s, t.nodes))[:KEPT]
    home = sorted(level, key=lambda t: (t.busy_s + day.drives[nodes[t.nodes[-1]].yard, HOME], t.nodes))
    return [[nodes[n] for n in t.nodes] for t in home[:TRIED]]


class _Growing:
    """What adding a node to a tour needs to know."""

    def __init__(self, day: Day, errands: list[Errand], nodes: list[Node]) -> None:
        self.day, self.nodes, self.total = day, nodes, len(errands)
        rank = {node: n for n, node in enumerate(nodes)}
        self.before: list[set[int]] = [set() for _ in nodes]
        self.makes = [0] * len(nodes)
        self.places = [0] * len(nodes)
        self.work_s = [0] * len(nodes)
        out: list[dict[Key, Out]] = [{} for _ in nodes]
        for e in errands:
            made, put = rank[Node(e.load, e.source, True)], rank[Node(e.load, e.target, False)]
            self.before[put].add(made)
            self.makes[made] += 1
            self.places[put] += 1
            self.work_s[made] += meanings.make_s(day.op, day.op.yard(e.source))
            self.work_s[put] += meanings.place_s(day.op, day.op.yard(e.target), day.boxes[e.order])
            for key, given in e.takes.items():
                out[made][key] = plus(out[made].get(key, Out()), given)
        for n, taken in enumerate(out):
            self.work_s[n] += sum(hive_s(day, day.hives[key], given)[0] for key, given in taken.items())

    def longer(self, tour: Tour, n: int) -> Tour | None:
        """Return the tour with one more node, None where that breaks an order, an hour or the load."""
        day, node, crew = self.day, self.nodes[n], self.day.op.crew
        done = set(tour.nodes)
        if n in done or not self.before[n] <= done:
            return None
        made = sum(self.makes[i] for i in tour.nodes) + self.makes[n]
        full = made - sum(self.places[i] for i in tour.nodes) - self.places[n]
        if not day.fits_truck(full, self.total - made):
            return None
        last = self.nodes[tour.nodes[-1]].yard if tour.nodes else HOME
        stays = last == node.yard and not (node.makes is False and self.nodes[tour.nodes[-1]].makes)
        drive = 0 if last == node.yard else day.drives[last, node.yard]
        before = 0 if stays else meanings.set_up_s(day.op, node.makes)
        yard = day.op.yard(node.yard)
        begin = max(tour.at_s + drive, 60 * (yard.opens_min or 0)) + before
        if node.makes:
            begin = max(begin, 60 * crew.hives_from_min)
        end = begin + self.work_s[n]
        late = node.makes and end > 60 * crew.hives_until_min
        end += 0 if stays else meanings.leave_s(day.op, node.makes)
        closed = yard.closes_min is not None and end > 60 * yard.closes_min
        if late or closed or end + day.drives[node.yard, HOME] > 60 * crew.end_min:
            return None
        return Tour((*tour.nodes, n), end, tour.busy_s + drive + before + self.work_s[n])


def walk_of(errands: list[Errand], tour: list[Node]) -> Walk:
    """Join neighbouring nodes of one yard into one visit, where placing comes before making."""
    visits: list[list[Node]] = []
    for node in tour:
        joins = visits and visits[-1][-1].yard == node.yard
        if joins and (node.makes or not any(n.makes for n in visits[-1])):
            visits[-1].append(node)
        else:
            visits.append([node])
    at = {node: v for v, visit in enumerate(visits) for node in visit}
    made = [
        Made(e.order, at[Node(e.load, e.source, True)], at[Node(e.load, e.target, False)], e.takes)
        for e in errands
    ]
    return Walk(tuple(visit[0].yard for visit in visits), tuple(made))
