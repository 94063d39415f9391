"""What each yard can make, and the least seconds of hive work for it.

All hives of one yard and format that give alike are one donor kind. A dynamic program over frames supplied
gives the least opening time for every need at once; from it comes, for every mix of lines, the least seconds,
and with a price on each line the table the search uses: least[q] = least seconds to make any q splits.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from itertools import product

import numpy as np
from numpy.typing import NDArray

from routeplan.colony.own_right import cannot_part, why_not_whole
from routeplan.colony.surplus import Give as SurplusGive
from routeplan.colony.surplus import Gives, Surplus
from routeplan.operation.world import Hive, Kit, Operation
from routeplan.planning.demand import KINDS, Demand
from routeplan.planning.limits import Clock
from routeplan.planning.openings import INF, Costed, Give, Ints, Kind, least_opening
from routeplan.planning.work import Work

MAX_STATES = 800_000
"""Entries of a table of frames, so that a yard takes tenths of a second."""
MAX_MIXES = 40_000
HURRY = 0.6
"""Share of the time for planning that must be left for exact tables; less, and coarse ones have to do."""
HURRIED_STATES = 5_000
KEPT = 400
"""Yields remembered: a day that is changed in one thing and planned again has most of them in common."""


@dataclass(frozen=True, order=True)
class Option:
    """One way to work a hive: what it gives at most, and what that takes.

    `open_s`: seconds on the clock before any frame leaves (opening, finding the queen). `found`: frames are
    handled quicker than usual, the queen being found. `off_s`: seconds that do not count, the hive being due
    anyway. `against_s`: seconds counted against it (mixed frames). `way`: how the queen is known not to
    leave. `first_s`: of `open_s`, what the first of two passes takes; 0 where one visit does it all.
    """

    give: Give
    open_s: int
    found: bool
    off_s: int
    against_s: int
    mixed: int
    way: str
    first_s: int = 0

    @property
    def in_two_passes(self) -> bool:
        """Whether the hive is opened at two visits of its yard."""
        return self.way == "excluder"

    def counted_s(self, work: Work) -> int:
        """Least seconds that count: as if all of it were taken where that is quicker."""
        return self.open_s - self.off_s + self.against_s - (saved_s(work, self.give) if self.found else 0)

    @property
    def plain(self) -> bool:
        """Whether what counts is what it takes on the clock."""
        return not (self.off_s or self.against_s)


@dataclass(frozen=True)
class Donors:
    """Hives of one yard and format that cost and give alike."""

    frame: str
    options: tuple[Option, ...]
    hives: tuple[Hive, ...]

    @property
    def plain(self) -> bool:
        """Whether all options are."""
        return all(o.plain for o in self.options)

    @property
    def in_two_passes(self) -> bool:
        """Whether they may be worked so."""
        return any(o.in_two_passes for o in self.options)

    @property
    def found(self) -> bool:
        """Whether finding the queen of one may save time: then more taken out may take less."""
        return any(o.found for o in self.options)


@dataclass(frozen=True)
class YardYield:
    """Mixes one yard can make in one format: (mixes, lines) counts, and for each the seconds on the clock of
    opening hives for the least that counts, what counts beside the clock, and the least counted seconds in
    all (filling, making and placing the splits too).

    `lines` are the demand's lines in this format that may be made here; `alike` for each the first line that
    differs from it in the kit only. Boxes filled one by one may take
    longer
    (donors of a box are limited, a queen found saves time only on what is really taken). `exact` is False
    where
    even by frames the seconds are only a lower limit; `plain` where other choices of hives may take less on
    the clock and count more. `merged`: the mixes count all lines together in the first column.
    """

    lines: tuple[int, ...]
    alike: tuple[int, ...]
    mixes: Ints
    opening: Ints
    beside: Ints
    seconds: Ints
    exact: bool
    plain: bool
    merged: bool

    def least_kits(self, opening: Ints, fill_s: Ints) -> NDArray[np.bool_]:
        """Which mixes may be of use where they open for so many seconds: of those that differ in kits only
        one of the least time on the clock, and such as count less beside it."""
        use = np.ones(len(self.mixes), dtype=bool)
        if self.alike != self.lines:
            spent = opening + self.mixes @ fill_s[list(self.lines)]
            ranked = np.lexsort((self.beside, spent, self._same_but_kits))
            first = np.unique(self._same_but_kits[ranked], return_index=True)[1]
            best = ranked[first][self._same_but_kits]
            use = (best == np.arange(len(best))) | (self.beside < self.beside[best])
        return use

    @cached_property
    def _same_but_kits(self) -> Ints:
        """A number for each mix, the same for those that differ in kits only."""
        folded = np.zeros_like(self.mixes)
        for column, line in enumerate(self.alike):
            folded[:, self.lines.index(line)] += self.mixes[:, column]
        return np.unique(folded, axis=0, return_inverse=True)[1].ravel()

    def within(self, caps: list[int], size: int) -> "YardYield | None":
        """Leave out mixes of more splits than `caps` of each of the demand's lines, or `size` in all; None if
        nothing is left to make."""
        mine = [k for k, line in enumerate(self.lines) if caps[line]]
        others = [k for k in range(len(self.lines)) if k not in mine]
        of_line = np.array([caps[line] for line in self.lines])
        keep = (self.mixes <= of_line).all(axis=1) & (self.mixes.sum(axis=1) <= size)
        keep &= self.mixes[:, others].sum(axis=1) == 0
        if keep.sum() < 2:
            return None
        return replace(
            self,
            lines=tuple(self.lines[k] for k in mine),
            alike=tuple(self.alike[k] for k in mine),
            mixes=self.mixes[keep][:, mine],
            opening=self.opening[keep],
            beside=self.beside[keep],
            seconds=self.seconds[keep],
        )

    def priced(self, prices: NDArray[np.int64], size: int) -> Ints:
        """Return least seconds less the prices of the lines, for 0..size splits; INF where not possible."""
        counts = self.mixes.sum(axis=1)
        own = prices[list(self.lines)]
        value = self.seconds - (counts * own.max() if self.merged else self.mixes @ own)
        least = np.full(size + 1, INF, dtype=np.int64)
        keep = counts <= size
        np.minimum.at(least, counts[keep], value[keep])
        return least


def by_clock(donors: Donors) -> Donors:
    """The same donors where nothing but the clock counts."""
    options = tuple(replace(o, off_s=0, against_s=0) for o in donors.options)
    return replace(donors, options=options)


def saved_s(work: Work, give: Give) -> int:
    """Seconds saved on a give when the queen is found."""
    return sum(s * n for s, n in zip(work.saved_s, give, strict=False))


def donors_of(
    operation: Operation, demand: Demand, surplus: dict[tuple[str, str], Surplus]
) -> dict[str, tuple[Donors, ...]]:
    """Group the hives that can give, by yard."""
    work, parts = Work(operation), _parts_of(operation, demand)
    grouped: dict[str, dict[tuple[str, tuple[Option, ...]], list[Hive]]] = {y.id: {} for y in operation.yards}
    due = {y.id for y in operation.yards if y.due}
    for hive in operation.hives:
        is_due = hive.due or hive.yard in due
        options = parts.get(hive.key)
        if options is None:
            options = tuple(_options(operation, demand, work, surplus[hive.key], is_due))
        if options:
            grouped[hive.yard].setdefault((hive.frame, options), []).append(hive)
    return {
        yard: tuple(Donors(frame, options, tuple(hives)) for (frame, options), hives in kinds.items())
        for yard, kinds in grouped.items()
    }


def _options(
    operation: Operation, demand: Demand, work: Work, own: Surplus, is_due: bool
) -> Iterator[Option]:
    """Every sensible way to work a hive: by looking frames over, the queen found, or from supers only."""
    sure, hive = operation.settings.sure, own.hive
    swap_s = round(60 * operation.settings.swaps.minutes)
    opening, hunting = work.open_s(hive), work.hunt_s(hive)
    off = opening if is_due else 0
    seen: set[Option] = set()
    for gives in (Gives(0, False, own.most), *own.others):
        against = gives.mixed * swap_s
        for give in sorted(_vectors(demand, own, gives)):
            ways = []
            if sure.look and not gives.queen:
                ways.append(Option(give, opening, False, off, against, gives.mixed, "look"))
            if gives.queen or (not sure.look and sure.hunt):
                ways.append(Option(give, opening + hunting, sure.look, off, against, gives.mixed, "hunt"))
            elif sure.hunt and saved_s(work, give) > hunting:
                ways.append(Option(give, opening + hunting, True, off, against, gives.mixed, "hunt"))
            if (two := _in_two_passes(operation, work, hive, give, off, gives)) and all(
                usual_s(work, two) < usual_s(work, one) for one in ways
            ):
                ways.append(two)
            for option in ways:
                if option not in seen:
                    seen.add(option)
                    yield option
    if sure.supers and hive.excluder and hive.supers:
        top = work.top_s()
        more = work.shake_s() - work.shake_s(work.usually_found)
        for n in range(1, own.could.shake + 1):
            if n == own.could.shake or more:
                give = (0, 0, 0, 0, n, *(0,) * (demand.width - 5))
                yield Option(give, top + n * more, False, top if is_due else 0, 0, 0, "supers")


def _in_two_passes(
    operation: Operation, work: Work, hive: Hive, give: Give, off_s: int, gives: Gives
) -> Option | None:
    """What leaves a hive from above an excluder, handled as if the queen were found; None if not allowed."""
    if not operation.two_passes_allowed or gives.queen or hive.queen == "queenless":
        return None
    first, off = work.first_pass_s(hive), work.due_s(hive, "excluder") if off_s else 0
    against = gives.mixed * round(60 * operation.settings.swaps.minutes)
    found, spent = operation.settings.sure.look, first + work.second_pass_s(hive)
    return Option(give, spent, found, off, against, gives.mixed, "excluder", first)


def usual_s(work: Work, option: Option) -> int:
    """Seconds of an option taken whole, beyond its frames handled the usual way."""
    return option.open_s - (saved_s(work, option.give) if option.found else 0)


def _vectors(demand: Demand, own: Surplus, gives: Gives) -> Iterator[Give]:
    rest = (0,) * len(demand.own_right)
    for g in gives.most:
        for eggs in range(g.open + 1 if own.mother else 1):
            if g.capped or g.open or g.food or g.shake or gives.queen:
                yield (g.capped, g.open - eggs, eggs, g.food, g.shake, int(gives.queen), *rest)


def _parts_of(operation: Operation, demand: Demand) -> dict[tuple[str, str], tuple[Option, ...]]:
    """Hives split in their own right: as many parts as leave what stays behind viable, or all of one that is
    broken up; the quickest way."""
    work, found = Work(operation), {}
    hives = {h.key: h for h in operation.hives}
    for place, b in enumerate(demand.own_right):
        batch = demand.batches[b]
        assert batch.from_yard is not None
        yard = operation.yards[batch.from_yard]
        hive = hives[(yard.id, batch.hive or "")]
        is_due = hive.due or yard.due
        options: list[Option | None] = []
        kits = [line.kit for line in demand.lines if line.batch == b]
        if batch.break_up:
            options.append(_broken_up(operation, demand, work, hive, b, is_due))
            kits = []
        for kit, parts in product(kits, range(1, batch.count + 1)):
            if not cannot_part(operation, hive, surplus_give(kit), parts, batch.queen):
                give = tuple(parts * int(i == len(KINDS) + place) for i in range(demand.width))
                options.append(
                    _part(operation, work, hive, batch.queen == "parent's", [kit] * parts, give, is_due)
                )
        found[hive.key] = tuple(o for o in options if o is not None)
    return found


def _broken_up(
    operation: Operation, demand: Demand, work: Work, hive: Hive, b: int, is_due: bool
) -> Option | None:
    """The quickest way to break a hive up into all its parts; None where it cannot be."""
    batches = demand.together(b)
    if why_not_whole(operation, hive):
        return None
    queen = any(demand.batches[other].queen == "parent's" for other in batches)
    kits = [
        line.kit
        for line in demand.lines
        if line.batch in batches
        for _ in range(demand.batches[line.batch].count)
    ]
    counts = {len(KINDS) + demand.own_right.index(other): demand.batches[other].count for other in batches}
    give = tuple(counts.get(i, 0) for i in range(demand.width))
    return _part(operation, work, hive, queen, kits, give, is_due)


def surplus_give(kit: Kit) -> SurplusGive:
    """A kit as a hive gives it."""
    return SurplusGive(kit.capped, kit.open, kit.food, kit.shakes)


def _part(
    operation: Operation, work: Work, hive: Hive, queen: bool, kits: Sequence[Kit], give: Give, is_due: bool
) -> Option | None:
    """The quickest way for parts of these kits, her leaving with one of them or not (`queen`); their frames'
    time beyond the usual counted in."""
    sure, opening = operation.settings.sure, work.open_s(hive)

    def seconds(found: bool) -> int:
        frames = sum(kit.frames * work.frame_s(found) + kit.shakes * work.shake_s(found) for kit in kits)
        usual = sum(work.fill_s(kit.frames, kit.shakes) for kit in kits)
        return opening + (work.hunt_s(hive) if found else 0) + frames - usual

    ways = []
    if hive.queen == "queenless" or (sure.look and not queen):
        ways.append((seconds(False), "look"))
    if hive.queen != "queenless" and (sure.hunt or queen):
        ways.append((seconds(True), "hunt"))
    if not ways:
        return None
    spent, way = min(ways)
    return Option(give, spent, False, opening if is_due else 0, 0, 0, way)


def yields_of(
    operation: Operation,
    demand: Demand,
    donors: dict[str, tuple[Donors, ...]],
    fill_s: Ints,
    base_place: Ints,
    clock: Clock | None = None,
) -> tuple[tuple[YardYield, ...], ...]:
    """Work out every yard's yields, one YardYield per format that can make something.

    `fill_s`, `base_place`: (lines,) seconds to fill a box, least seconds to place it. Once a good part
    of the clock's time is gone, the rest are coarse lower limits (not exact).
    """
    work = Work(operation)
    result = []
    for i, yard in enumerate(operation.yards):
        of_yard = []
        for frame in sorted({d.frame for d in donors[yard.id]}):
            here = tuple(
                k
                for k, line in enumerate(demand.lines)
                if line.frame == frame and demand.of(k).from_yard in (None, i) and demand.cap(line.batch)
            )
            if here:
                fixed = work.make_s(yard) + fill_s[list(here)] + base_place[list(here)]
                kinds = [d for d in donors[yard.id] if d.frame == frame]
                batches = [demand.lines[k].batch for k in here]
                hurried = clock is not None and clock.left() < HURRY * clock.seconds
                states = HURRIED_STATES if hurried else MAX_STATES
                of_yard.append(
                    _yield(
                        here,
                        _alike(demand, here),
                        tuple(_kind(d, work) for d in kinds),
                        tuple(demand.need(k) for k in here),
                        tuple(fixed.tolist()),
                        tuple((b, demand.cap(b)) for b in batches),
                        demand.size,
                        states,
                        MAX_MIXES,
                        demand.wholes,
                    )
                )
        result.append(tuple(y for y in of_yard if len(y.mixes) > 1))
    return tuple(result)


def _alike(demand: Demand, lines: tuple[int, ...]) -> tuple[int, ...]:
    """For each line the first of these that differs from it in the kit only; all are of one format."""
    first: dict[tuple[int, str], int] = {}
    return tuple(first.setdefault((demand.lines[k].batch, demand.lines[k].swap), k) for k in lines)


def opening_together(work: Work, donors: Sequence[Donors], needed: Ints) -> int | None:
    """Least counted seconds of opening hives that give at least so much of each kind together, as if they
    stood in one yard; INF where they cannot, None where some way of working one counts less than nothing."""
    if any(o.counted_s(work) < 0 for d in donors for o in d.options):
        return None
    counted, _, _ = least_opening([_kind(d, work) for d in donors], needed[None, :], MAX_STATES)
    return int(counted[0])


def _kind(donors: Donors, work: Work) -> Kind:
    least: dict[Give, tuple[int, int]] = {}
    exact: dict[Give, tuple[int, int]] = {}
    less_than_nothing = any(o.counted_s(work) < 0 for o in donors.options)
    for o in donors.options:  # with such gives a table need not rise: then all parts of all gives are listed
        seconds, saved = o.counted_s(work), saved_s(work, o.give) if o.found else 0
        if any(o.give[len(KINDS) :]):  # a hive split in its own right: so many parts, no fewer
            exact[o.give] = min((seconds, o.open_s), exact.get(o.give, (INF, INF)))
            continue
        if not less_than_nothing:
            least[o.give] = min((seconds, o.open_s - saved), least.get(o.give, (INF, INF)))
            continue
        for give in product(*(range(n + 1) for n in o.give)):
            less = saved_s(work, give) if o.found else 0
            spent = seconds + saved - less
            into = exact if spent < 0 else least
            into[give] = min((spent, o.open_s - less), into.get(give, (INF, INF)))
    gives, negative = (tuple((g, *cost) for g, cost in sorted(row.items())) for row in (least, exact))
    plain = all(not (o.off_s or o.against_s) for o in donors.options)
    return Kind(len(donors.hives), gives, negative, plain)


@lru_cache(maxsize=KEPT)
def _yield(
    lines: tuple[int, ...],
    alike: tuple[int, ...],
    kinds: tuple[Kind, ...],
    of_lines: tuple[Give, ...],
    fixed_s: tuple[int, ...],
    caps: tuple[tuple[int, int], ...],
    size: int,
    states: int,
    most_mixes: int,
    together: tuple[tuple[tuple[int, int], ...], ...],
) -> YardYield:
    """`of_lines`, `fixed_s`: what a split of each line needs and counts besides; `caps`: for each line its
    batch, and most splits of that. `together`: for each hive broken up the places of its parts in a need
    vector, and how many of each there are."""
    needs, fixed = np.array(of_lines, dtype=np.int64), np.array(fixed_s, dtype=np.int64)
    most = _most_kits(kinds, needs, size)
    mixes = _mixes(caps, most, most_mixes)
    exact, merged = True, mixes is None
    if mixes is None:  # too many mixes: count kits of the smallest need, a lower limit
        mixes = np.zeros((most + 1, len(lines)), dtype=np.int64)
        mixes[:, 0] = np.arange(most + 1)
        wanted = mixes[:, :1] * needs.min(axis=0)[None, :]
        fixed, exact = np.full(len(lines), fixed.min()), False
    else:
        wanted = mixes @ needs
    kinds, wanted, whole = _as_one(kinds, wanted, together)
    supply = sum(d.number * np.array([g for g, _, _ in d.all_gives]).max(axis=0) for d in kinds)
    reachable = whole & (wanted <= supply).all(axis=1)
    mixes, wanted = mixes[reachable], wanted[reachable]
    counted, clock, by_frames = least_opening(kinds, wanted, states)
    exact = exact and by_frames
    possible = counted < INF
    mixes, counted, clock = mixes[possible], counted[possible], clock[possible]
    counted[mixes.sum(axis=1) == 0] = clock[mixes.sum(axis=1) == 0] = 0
    plain = all(d.plain for d in kinds)
    return YardYield(
        lines, alike, mixes, clock, counted - clock, counted + mixes @ fixed, exact, plain, merged
    )


def _as_one(
    kinds: tuple[Kind, ...], wanted: Ints, together: tuple[tuple[tuple[int, int], ...], ...]
) -> tuple[tuple[Kind, ...], Ints, NDArray[np.bool_]]:
    """Parts of a hive that is broken up counted as one, so that tables stay small: the hives, what is wanted,
    and which rows of it want all parts of such a hive or none."""
    whole, dropped = np.ones(len(wanted), dtype=bool), set[int]()
    for parts in together:
        places, all_of_them = [place for place, _ in parts], np.array([n for _, n in parts])
        asked = wanted[:, places]
        whole &= (asked == 0).all(axis=1) | (asked == all_of_them).all(axis=1)
        dropped |= set(places[1:])
    kept = [k for k in range(wanted.shape[1]) if k not in dropped]

    def less(gives: tuple[Costed, ...]) -> tuple[Costed, ...]:
        return tuple((tuple(give[k] for k in kept), counted, clock) for give, counted, clock in gives)

    fewer = tuple(replace(d, gives=less(d.gives), exact=less(d.exact)) for d in kinds)
    return fewer, wanted[:, kept], whole


def _most_kits(kinds: Sequence[Kind], needs: Ints, size: int) -> int:
    """Upper limit on splits: for every set of kinds, what all hives give over the least a kit needs."""
    least = needs.min(axis=0)
    needed = np.flatnonzero(least)  # a kind that some kit does without only adds to what hives give
    gives = np.array([g for d in kinds for g, _, _ in d.all_gives], dtype=np.int64)[:, needed]
    first = np.cumsum([0] + [len(d.all_gives) for d in kinds[:-1]])
    sets = np.array(list(product((0, 1), repeat=len(needed))), dtype=np.int64)
    of_each = np.maximum.reduceat(sets @ gives.T, first, axis=1)
    total = of_each @ np.array([d.number for d in kinds])
    per_kit = sets @ least[needed]
    return int(min(size, (total[per_kit > 0] // per_kit[per_kit > 0]).min(initial=size)))


def _mixes(caps: Sequence[tuple[int, int]], most: int, most_mixes: int) -> Ints | None:
    """All counts of lines within what each batch asks for and the total, None when there are too many."""
    mixes = np.zeros((1, 0), dtype=np.int64)
    for n, (batch, asked) in enumerate(caps):
        cap = min(asked, most)
        column = np.tile(np.arange(cap + 1), len(mixes))[:, None]
        mixes = np.hstack([np.repeat(mixes, cap + 1, axis=0), column])
        alike = [k for k, (other, _) in enumerate(caps[: n + 1]) if other == batch]
        mixes = mixes[(mixes.sum(axis=1) <= most) & (mixes[:, alike].sum(axis=1) <= cap)]
        if len(mixes) > most_mixes:
            return None
    return mixes


def priced_yields(yields: tuple[tuple[YardYield, ...], ...], prices: NDArray[np.int64], size: int) -> Ints:
    """Least seconds less prices to make q splits at each yard (yards, size + 1), all formats together."""
    result = np.full((len(yields), size + 1), INF, dtype=np.int64)
    for i, of_yard in enumerate(yields):
        total = np.full(size + 1, INF, dtype=np.int64)
        total[0] = 0
        for one in of_yard:
            total = convolve(total, one.priced(prices, size))
        result[i] = total
    return result


def convolve(a: Ints, b: Ints) -> Ints:
    """Least sum at each total count: c[n] = min over q of a[n - q] + b[q] (both start at 0 splits)."""
    n = len(a)
    out = np.full(n, INF, dtype=np.int64)
    for q in np.flatnonzero(b < INF):
        np.minimum(out[q:], a[: n - q] + b[q], out=out[q:])
    out[out > INF // 2] = INF
    return out
