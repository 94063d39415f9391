"""A plain drawing of the day, for print and for when the map does not come up. North is up."""

import math
from dataclasses import dataclass

from routeplan.operation.world import Place
from routeplan.output.marks import Drawing, Flight, Mark, bearing_deg, towards

WIDTH, HEIGHT, MARGIN = 720, 540, 36
METRES_PER_DEGREE = 111_200
"""Length of a degree of latitude, near enough for a drawing."""
LETTER_WIDTH, LINE_HEIGHT = 8.6, 18
LABEL_PARTS = (0.5, 0.4, 0.6, 0.3, 0.7)
LABEL_LIFTS = (0, 14, -14)
"""How far along a flight its label may stand, and how far above or below it, best first."""
SIDES = ("right", "left", "bottom", "top")

Rect = tuple[float, float, float, float]


@dataclass(frozen=True)
class Spot:
    """A mark on the drawing and where its name goes."""

    mark: Mark
    x: float
    y: float
    name: str
    side: str
    text_x: float
    text_y: float

    @property
    def anchor(self) -> str:
        """How the name hangs on its point."""
        return {"right": "start", "left": "end"}.get(self.side, "middle")


@dataclass(frozen=True)
class Line:
    """A flight with its label and the turn of its arrow head, in degrees clockwise from up."""

    x1: float
    y1: float
    x2: float
    y2: float
    label: str
    part: float
    label_x: float
    label_y: float
    arrow_x: float
    arrow_y: float
    turn: float


@dataclass(frozen=True)
class Sketch:
    """The drawing in its own units; `bar` is the length of the scale bar and what it stands for in metres."""

    spots: tuple[Spot, ...]
    drive: str
    lines: tuple[Line, ...]
    rings: tuple[tuple[float, float, float], ...]
    bar: float
    bar_m: float


@dataclass(frozen=True)
class _Frame:
    west: float
    north: float
    east_scale: float
    scale: float
    left: float
    top: float

    def at(self, place: Place) -> tuple[float, float]:
        x = self.left + (place.lon - self.west) * self.east_scale * self.scale
        y = self.top + (self.north - place.lat) * METRES_PER_DEGREE * self.scale
        return round(x, 1), round(y, 1)

    def shows(self, place: Place) -> bool:
        x, y = self.at(place)
        return 10 <= x <= WIDTH - 10 and 10 <= y <= HEIGHT - 10


def sketch(drawing: Drawing, bar_unit_m: float) -> Sketch:
    """Draw the day so that the yards visited, home and the rings fill the field.

    Yards not visited are drawn where they fall inside it. `bar_unit_m` is a kilometre or a mile.
    """
    frame = _frame(drawing)
    bar_m = bar_unit_m * max(1, 2 ** round(math.log2(140 / frame.scale / bar_unit_m)))
    marks = in_field(drawing)
    taken = [_sign_rect(frame, mark) for mark in marks]
    busy = [_spot(frame, mark, taken) for mark in marks if mark.busy]
    lines = _lines(frame, drawing, taken)
    idle = [_spot(frame, mark, taken) for mark in marks if not mark.busy]
    return Sketch(
        spots=(*busy, *idle),
        drive=" ".join(f"{x},{y}" for x, y in map(frame.at, drawing.drive)),
        lines=lines,
        rings=tuple((*frame.at(r.centre), round(r.radius_m * frame.scale, 1)) for r in drawing.rings),
        bar=round(bar_m * frame.scale, 1),
        bar_m=bar_m,
    )


def in_field(drawing: Drawing) -> list[Mark]:
    """Return the marks the drawing has room for: all the crew goes to, and the others nearby."""
    frame = _frame(drawing)
    return [m for m in drawing.marks if m.busy or frame.shows(m.place)]


def _frame(drawing: Drawing) -> _Frame:
    places = drawing.must_show
    middle = sum(p.lat for p in places) / len(places)
    east_scale = METRES_PER_DEGREE * max(0.01, math.cos(math.radians(middle)))
    lats, lons = [p.lat for p in places], [p.lon for p in places]
    for ring in drawing.rings:
        up, across = ring.radius_m / METRES_PER_DEGREE, ring.radius_m / east_scale
        lats += [ring.centre.lat - up, ring.centre.lat + up]
        lons += [ring.centre.lon - across, ring.centre.lon + across]
    wide = max(500.0, (max(lons) - min(lons)) * east_scale)
    high = max(500.0, (max(lats) - min(lats)) * METRES_PER_DEGREE)
    scale = min((WIDTH - 2 * MARGIN) / wide, (HEIGHT - 2 * MARGIN) / high)
    left = (WIDTH - (max(lons) - min(lons)) * east_scale * scale) / 2
    top = (HEIGHT - (max(lats) - min(lats)) * METRES_PER_DEGREE * scale) / 2
    return _Frame(min(lons), max(lats), east_scale, scale, left, top)


def _sign_rect(frame: _Frame, mark: Mark) -> Rect:
    x, y = frame.at(mark.place)
    return x - 16, y - 16, x + 16, y + 16


def _spot(frame: _Frame, mark: Mark, taken: list[Rect]) -> Spot:
    """Put a name where it crowds least; a yard not visited goes without one where there is no room."""
    x, y = frame.at(mark.place)
    rects = {side: _text_rect(x, y, side, len(mark.name)) for side in SIDES}
    side = min(SIDES, key=lambda s: (_crowding(rects[s], taken), SIDES.index(s)))
    rect = rects[side]
    name = mark.name if mark.busy or not _crowding(rect, taken) else ""
    if name:
        taken.append(rect)
    text_x = {"right": rect[0], "left": rect[2]}.get(side, x)
    return Spot(mark, x, y, name, side, round(text_x, 1), round(rect[3] - 4, 1))


def _text_rect(x: float, y: float, side: str, letters: int) -> Rect:
    wide, gap = letters * LETTER_WIDTH, 19
    if side in ("right", "left"):
        start = x + gap if side == "right" else x - gap - wide
        return start, y - LINE_HEIGHT / 2, start + wide, y + LINE_HEIGHT / 2
    top = y + gap - 2 if side == "bottom" else y - gap - LINE_HEIGHT + 2
    return x - wide / 2, top, x + wide / 2, top + LINE_HEIGHT


def _crowding(rect: Rect, taken: list[Rect]) -> float:
    """Area shared with what is there already, and area outside the field counted threefold."""
    inside = _shared(rect, (2, 2, WIDTH - 2, HEIGHT - 2))
    outside = (rect[2] - rect[0]) * (rect[3] - rect[1]) - inside
    return 3 * outside + sum(_shared(rect, other) for other in taken)


def _shared(a: Rect, b: Rect) -> float:
    wide = min(a[2], b[2]) - max(a[0], b[0])
    high = min(a[3], b[3]) - max(a[1], b[1])
    return wide * high if wide > 0 and high > 0 else 0.0


def _lines(frame: _Frame, drawing: Drawing, taken: list[Rect]) -> tuple[Line, ...]:
    lines = []
    for flight in drawing.flights:
        choices = [
            (part, _label_rect(frame, flight, part, lift)) for lift in LABEL_LIFTS for part in LABEL_PARTS
        ]
        part, rect = min(choices, key=lambda c: (_crowding(c[1], taken), choices.index(c)))
        taken.append(rect)
        arrow = frame.at(towards(flight.start, flight.end, 0.8))
        turn = round(bearing_deg(flight.start, flight.end), 1)
        label_at = round((rect[0] + rect[2]) / 2, 1), round(rect[3] - 4, 1)
        ends = (*frame.at(flight.start), *frame.at(flight.end))
        lines.append(Line(*ends, flight.label, part, *label_at, *arrow, turn))
    return tuple(lines)


def _label_rect(frame: _Frame, flight: Flight, part: float, lift: float) -> Rect:
    x, y = frame.at(towards(flight.start, flight.end, part))
    y -= lift
    half = len(flight.label) * LETTER_WIDTH / 2
    return x - half, y - LINE_HEIGHT / 2, x + half, y + LINE_HEIGHT / 2
