"""Least seconds of opening hives that give enough of every kind of frame: a dynamic program over amounts.

Its tables grow with the product of all amounts. Two things keep them small. Kinds of frame that hives give in
any shares, as capped and open brood mostly are, are counted together. And where a table would still be too
large, frames are counted by twos, which gives a lower limit.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import gcd
from operator import ge
from typing import Any

import numpy as np
from numpy.typing import NDArray

INF = 10**8
SMALL = 100_000
"""Tables up to this size need no kinds counted together that some hives give in certain shares only."""
FEW = 0.25
"""Share of the kinds of hives that may be so in a larger table."""

Ints = NDArray[np.int64]
Give = tuple[int, ...]
"""What a way to work a hive gives of each kind of frame."""
Costed = tuple[Give, int, int]
"""A give, its counted seconds, and its seconds on the clock."""
Groups = list[list[int]]
"""Kinds of frame of a table: each by itself, or two counted together."""


@dataclass(frozen=True)
class Kind:
    """How many hives there are of a kind, and what each may give.

    `exact` are gives taken whole or not at all: those that take less than nothing (a hive due anyway,
    its queen found), and parts of a hive split in its own right. `plain`: nothing counts but the clock.
    """

    number: int
    gives: tuple[Costed, ...]
    exact: tuple[Costed, ...]
    plain: bool

    @property
    def all_gives(self) -> tuple[Costed, ...]:
        """All gives with their seconds."""
        return self.gives + self.exact


def least_opening(kinds: Sequence[Kind], wanted: Ints, states: int) -> tuple[Ints, Ints, bool]:
    """Least counted seconds of opening hives for each row of wanted frames, and what that takes on the clock.

    Parameters
    ----------
    kinds : the hives.
    wanted : (rows, kinds of frame) at least so many.
    states : most entries of a table.

    Returns
    -------
    (rows,) counted seconds, INF where the hives cannot give so much; (rows,) seconds on the clock; whether
    both are exact: otherwise the counted seconds are a lower limit.
    """
    alone = _groups(kinds, wanted, 0.0)
    together = _groups(kinds, wanted, FEW)
    if together == alone or np.prod(_summed(wanted, alone).max(axis=0) + 1.0) <= min(SMALL, states):
        return _by_table([_joined(d, alone) for d in kinds], _summed(wanted, alone), states)
    counted, clock, exact = _by_table(
        [_joined(d, together) for d in kinds], _summed(wanted, together), states
    )
    if exact:  # whether as little opens hives that surely give enough of each kind, not only of both
        sure = [_joined(_in_all_shares(d, together, wanted), together) for d in kinds]
        most, most_clock, _ = _by_table(sure, _summed(wanted, together), states)
        exact = bool((counted == most).all() and (clock == most_clock).all())
    return counted, clock, exact


def _by_table(kinds: list[Kind], wanted: Ints, states: int) -> tuple[Ints, Ints, bool]:
    """The same by one table, frames counted by twos until it is no larger than `states`."""
    exact = True
    while np.prod(wanted.max(axis=0) + 1.0) > states:
        kinds, wanted, alike = _smaller(kinds, wanted)
        exact = exact and alike
    counted, clock = _table(kinds, wanted.max(axis=0))
    at = tuple(wanted.T)
    return counted[at], clock[at], exact


# --- smaller tables -----------------------------------------------------------------------------------------


def _groups(kinds: Sequence[Kind], wanted: Ints, but: float) -> Groups:
    """Pair kinds of frame off that all kinds of hives, but for so large a share, give in all wanted shares.

    Two kinds: hives that give enough of both together can then be told what shares to give so that there is
    enough of each. Those that differ in what else they give or in their seconds are told apart.
    """
    groups: Groups = []
    for k in range(wanted.shape[1]):
        for group in groups:
            if len(group) == 1 and _may_pair(kinds, wanted, group[0], k, int(but * len(kinds))):
                group.append(k)
                break
        else:
            groups.append([k])
    return groups


def _may_pair(kinds: Sequence[Kind], wanted: Ints, a: int, b: int, most_against: int) -> bool:
    if not (wanted[:, a].any() and wanted[:, b].any()):
        return False
    against, shares = 0, _Shares(wanted, a, b)
    for d in kinds:
        fits = all(_fits(g, d.gives, a, b, shares) for g in d.gives)
        against += not (fits and all(_fits(g, d.exact, a, b, None) for g in d.exact))
        if against > most_against:
            return False
    return True


class _Shares:
    """The shares in which two kinds of frame, a and b, are wanted."""

    def __init__(self, wanted: Ints, a: int, b: int) -> None:
        some = wanted[:, a] + wanted[:, b] > 0
        self.of_a, self.of_b = wanted[some, a], wanted[some, b]
        self.known: dict[int, tuple[int, int]] = {}

    def of(self, both: int) -> tuple[int, int]:
        """Least and most of a that may be asked of so many of both, more than none."""
        if both not in self.known:
            every = self.of_a + self.of_b
            low = both + int((-self.of_b * both // every).min())
            self.known[both] = low, -int((-self.of_a * both // every).min())
        return self.known[both]


def _fits(one: Costed, gives: Sequence[Costed], a: int, b: int, shares: _Shares | None) -> bool:
    """Whether a hive that gives so much of a and b together may give it in all wanted shares, None: in any,
    without taking longer.

    Let all hives together give S of both, at least the T wanted. Each may give as large a share of a, rounded
    up, as is ever wanted, and as large a share of b, and anything between. All together can then give from
    their least of a to their most by single frames; the most of a is at least what is wanted of a, and of b.
    """
    give, *cost = one
    both = give[a] + give[b]
    low, high = (0, both) if shares is None or not both else shares.of(both)
    whole = shares is None
    return all(
        _given(
            tuple(n if k == a else both - n if k == b else x for k, x in enumerate(give)), cost, gives, whole
        )
        for n in range(max(0, low), min(both, high) + 1)
        if n != give[a]
    )


def _given(wanted: Give, cost: list[int], gives: Sequence[Costed], whole: bool) -> bool:
    """Whether one of the gives is enough, or the same where it is taken `whole`, at no more seconds."""
    for give, *spent in gives:
        if spent <= cost and (give == wanted or (not whole and all(map(ge, give, wanted)))):
            return True
    return False


def _in_all_shares(kind: Kind, groups: Groups, wanted: Ints) -> Kind:
    """Leave out, of what hives give of two kinds together, what they give in certain shares only."""
    gives, exact = list(kind.gives), kind.exact
    for a, b in (g for g in groups if len(g) == 2):
        fewer: list[Costed] = []
        shares = _Shares(wanted, a, b)
        for give, *cost in gives:
            while not _fits((give, cost[0], cost[1]), gives, a, b, shares):
                less = a if give[a] else b
                give = tuple(x - (k == less) for k, x in enumerate(give))
            fewer.append((give, cost[0], cost[1]))
        gives = fewer
        exact = tuple(g for g in exact if _fits(g, kind.exact, a, b, None))
    return replace(kind, gives=tuple(gives), exact=exact)


def _summed(wanted: Ints, groups: Groups) -> Ints:
    """Wanted frames with the kinds of each group counted together."""
    return np.stack([wanted[:, group].sum(axis=1) for group in groups], axis=1)


def _joined(kind: Kind, groups: Groups) -> Kind:
    """The same hives, the kinds of frame of each group counted together."""

    def joined(one: Costed) -> Costed:
        give, *cost = one
        return tuple(sum(give[k] for k in group) for group in groups), cost[0], cost[1]

    return replace(kind, gives=tuple(map(joined, kind.gives)), exact=tuple(map(joined, kind.exact)))


def _smaller(kinds: list[Kind], wanted: Ints) -> tuple[list[Kind], Ints, bool]:
    """Count one kind of frame by twos, or leave the largest one out where some hives give whole amounts only.

    Odd amounts are rounded up. Told too: whether that is the same, as where all give even amounts.
    """
    top = wanted.max(axis=0)
    if any(d.exact for d in kinds) or top.max() < 2:
        fewer = wanted.copy()
        fewer[:, int(top.argmax())] = 0
        return kinds, fewer, False
    gives = np.array([give for d in kinds for give, *_ in d.gives], dtype=np.int64)
    odd = (gives % 2).sum(axis=0) / np.maximum(1, (gives > 0).sum(axis=0))
    axis = min((k for k in range(len(top)) if top[k] >= 2), key=lambda k: (odd[k], -top[k]))
    halved = wanted.copy()
    halved[:, axis] = (wanted[:, axis] + 1) // 2

    def by_twos(one: Costed) -> Costed:
        give, *cost = one
        return tuple((n + 1) // 2 if k == axis else n for k, n in enumerate(give)), cost[0], cost[1]

    return (
        [replace(d, gives=tuple(by_twos(g) for g in d.gives)) for d in kinds],
        halved,
        not (gives[:, axis] % 2).any(),
    )


# --- the table ----------------------------------------------------------------------------------------------


def _table(kinds: Sequence[Kind], shape: Ints) -> tuple[Ints, Ints]:
    """Least counted seconds of opening to supply at least t of each kind, for all t up to `shape`, and the
    seconds that takes on the clock (dynamic program).

    The table grows with what the hives so far can supply. Both seconds are kept in one number, so that of
    ways that count as much the quickest is the least.
    """
    axes = np.argsort(shape, kind="stable").tolist()  # the longest last: whole rows are added at once
    top = [int(shape[k]) for k in axes]
    size = _size_of(kinds)
    table: NDArray[Any] = np.zeros((1,) * len(top), dtype=size.kept)
    for d in sorted(kinds, key=lambda kind: bool(kind.exact)):
        nothing, rows = (0,) * len(top), (_clipped(d.gives, axes, top), _clipped(d.exact, axes, top))
        rows[0].pop(nothing, None)
        idle = size.number(rows[1].pop(nothing, (0, 0))[0], 0)
        gives, exact = ({give: size.number(*cost) for give, cost in row.items()} for row in rows)
        most = [max((g[k] for g in (*gives, *exact)), default=0) for k in range(len(top))]
        for _ in range(d.number):
            padded = _padded(table, most)
            reach = [min(n, had - 1 + m) for n, had, m in zip(top, table.shape, most, strict=True)]
            new = np.full([n + 1 for n in reach], size.never, dtype=size.kept)
            new[tuple(slice(0, n) for n in table.shape)] = table + idle
            for g, cost in gives.items():
                ends = [min(n, had - 1 + x) + 1 for n, had, x in zip(reach, table.shape, g, strict=True)]
                into = tuple(slice(0, end) for end in ends)
                window = tuple(slice(m - x, m - x + end) for m, x, end in zip(most, g, ends, strict=True))
                np.minimum(new[into], padded[window] + cost, out=new[into])
            for g, cost in exact.items():
                ends = [min(n, had - 1 + x) + 1 for n, had, x in zip(reach, table.shape, g, strict=True)]
                into = tuple(slice(x, end) for x, end in zip(g, ends, strict=True))
                window = tuple(slice(0, end - x) for x, end in zip(g, ends, strict=True))
                np.minimum(new[into], table[window] + cost, out=new[into])
            table = np.minimum(new, size.never, out=new)
    whole = np.full([n + 1 for n in top], size.never, dtype=np.int64)
    whole[tuple(slice(0, n) for n in table.shape)] = table
    return size.seconds(whole.transpose(np.argsort(axes)))


@dataclass(frozen=True)
class _Size:
    """How counted seconds and those on the clock are kept in one number: `one` for a counted unit of so many
    seconds. More than `most_s` counted seconds are never needed; `never` stands for what cannot be."""

    unit: int
    one: int
    most_s: int
    never: int
    kept: type[np.signedinteger[Any]]

    def number(self, counted_s: int, clock_s: int) -> Any:
        """The two in one number."""
        clock = clock_s // self.unit if self.one > 1 else 0
        return self.kept(min(counted_s // self.unit * self.one + clock, self.never))

    def seconds(self, numbers: Ints) -> tuple[Ints, Ints]:
        """Counted seconds, INF where never, and those on the clock."""
        counted = (numbers + self.one // 2) // self.one
        clock = self.unit * (counted if self.one == 1 else numbers - counted * self.one)
        counted_s = np.where(counted * self.unit > self.most_s, INF, counted * self.unit)
        return counted_s, np.where(counted_s < INF, clock, INF if self.one == 1 else 0)


def _size_of(kinds: Sequence[Kind]) -> _Size:
    """The smallest numbers that hold what all hives together can take."""
    most_s = less_s = clock_s = longest_s = 0
    for d in kinds:
        counted = [0, *(s for _, s, _ in d.all_gives)]
        most_s, less_s = most_s + d.number * max(counted), less_s - d.number * min(counted)
        clock_s += d.number * max(abs(s) for _, _, s in (((), 0, 0), *d.all_gives))
        longest_s = max(longest_s, *counted)
    unit = gcd(*(s for d in kinds for _, *both in d.all_gives for s in both)) or 1
    one = 1 if all(d.plain for d in kinds) else 2 * (clock_s // unit) + 1
    never = ((most_s + less_s) // unit + 1) * one
    fits = never + (longest_s // unit + 1) * one < 2**31
    return _Size(unit, one, most_s, never, np.int32 if fits else np.int64)


def _padded(table: NDArray[Any], most: list[int]) -> NDArray[Any]:
    """A table with its first entries repeated before it, so many along each axis."""
    padded = np.empty([m + size for m, size in zip(most, table.shape, strict=True)], dtype=table.dtype)
    padded[tuple(slice(m, None) for m in most)] = table
    for axis, m in enumerate(most):
        if m:
            along = np.moveaxis(padded, axis, 0)
            along[:m] = along[m]
    return padded


def _clipped(gives: Sequence[Costed], axes: list[int], top: list[int]) -> dict[Give, tuple[int, int]]:
    """The gives within the table, in the order of its axes, each at its least seconds."""
    least: dict[Give, tuple[int, int]] = {}
    for full, *cost in gives:
        g = tuple(map(min, (full[k] for k in axes), top))
        least[g] = min((cost[0], cost[1]), least.get(g, (INF, INF)))
    return least
