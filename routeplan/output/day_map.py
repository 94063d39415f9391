"""The map that can be moved, made by folium on Leaflet; both kept away from the rest of the output.

Names never enter the script that is made here: layers say the texts of a separate list, put in by number as
plain text. Everything the map needs is carried inside the page; the background, fetched when asked for,
is the only outside thing.
"""

import re
from dataclasses import dataclass
from functools import cache
from itertools import count
from pathlib import Path
from typing import Any

import folium
from folium.template import Template
from xstatic.pkg import leaflet

from routeplan.operation.world import Place
from routeplan.output import words
from routeplan.output.marks import SHAPES, Drawing, Mark, towards
from routeplan.output.sketch import Sketch, in_field

MAP_ID = "day"
CLOSEST = 15
"""Closest look taken by itself, in the usual steps of web maps (0 is the whole world)."""
FIT_PADDING = (30, 30)
"""Pixels left free round the places shown."""
TILES = "https://tile.openstreetmap.org"
"""Background pictures, with the attribution their licence (ODbL) asks for.

They are fetched only when someone ticks the box on the map: that needs signal, and it tells a stranger where
the yards are.
"""


@dataclass(frozen=True)
class DayMap:
    """What goes into a page: element, two scripts in this order, style, and the texts they say."""

    element: str
    leaflet: str
    script: str
    style: str
    texts: tuple[tuple[str, ...], ...]


NO_MAP = DayMap("", "", "", "", ())
"""For a page with the plain drawing only."""


class _Said(folium.MacroElement):
    """Text number `number` pops up on the layer; its first line stands there too, as such a `label`."""

    _template = Template(
        """
        {% macro script(this, kwargs) %}
            said({{ this._parent.get_name() }}, {{ this.number }}, {{ this.label|tojavascript }});
        {% endmacro %}
        """
    )

    def __init__(self, number: int, label: str) -> None:
        super().__init__()  # type: ignore[no-untyped-call]
        self._name = "Said"
        self.number, self.label = number, label


class _Maker:
    """Puts layers on one map, naming them one after another so that the same plan gives the same page."""

    def __init__(self, the_map: folium.Map) -> None:
        self._map, self._ids = the_map, count(1)
        self.texts: list[tuple[str, ...]] = []

    def put(self, layer: Any, lines: tuple[str, ...], label: str = "") -> None:
        self._named(layer).add_to(self._map)
        self._named(_Said(len(self.texts), label)).add_to(layer)
        self.texts.append(lines)

    def marker(
        self, place: Place, svg: str, size: int, lines: tuple[str, ...], label: str = "", z: int = 0
    ) -> None:
        icon = self._named(
            folium.DivIcon(html=svg, icon_size=(size, size), icon_anchor=(size // 2, size // 2))
        )
        icon.add_to(self._map)
        marker = folium.Marker(_point(place), z_index_offset=z)
        marker.options["icon"] = icon  # from the start: a marker without one looks for picture files
        self.put(marker, lines, label)

    def _named(self, element: Any) -> Any:
        element._id = str(next(self._ids))
        return element


def day_map(drawing: Drawing, plain: Sketch, units: str) -> DayMap:
    """Make the map of a day.

    Parameters
    ----------
    drawing : what it shows.
    plain : the same drawn plainly, which found room for names and labels.
    units : "km" or "mi", for the scale bar.
    """
    figure = folium.Figure()
    the_map = folium.Map(tiles=None, width="100%", height="100%", zoom_snap=0.25, max_zoom=19)
    the_map._id = MAP_ID
    the_map.add_to(figure)
    maker = _Maker(the_map)
    _put_all(maker, drawing, plain)
    the_map.fit_bounds(_bounds(drawing.must_show), padding=FIT_PADDING, max_zoom=CLOSEST)
    figure.render()
    own = _template("map.js")
    made = re.sub(r"\n\s*\n+", "\n", figure.script.render())
    values = {
        "MAP": the_map.get_name(),
        "TILES": TILES,
        "METRIC": str(units != "mi").lower(),
        "LAYERS": made,
        "GROUND": words.BACKGROUND,
        "FIELD": str(_bounds((*drawing.must_show, *(m.place for m in in_field(drawing))))),
        "CLOSEST": str(CLOSEST),
        "PADDING": str(list(FIT_PADDING)),
    }
    script = re.sub(r"@([A-Z]+)@", lambda match: values[match[1]], own)
    library, style = _library()
    style += _template("map.css")
    return DayMap(
        f'<div class="map" id="{the_map.get_name()}"></div>', library, script, style, tuple(maker.texts)
    )


def _put_all(maker: _Maker, drawing: Drawing, plain: Sketch) -> None:
    for ring in drawing.rings:
        layer = folium.Circle(_point(ring.centre), radius=ring.radius_m, class_name="ring", fill=False)
        maker.put(layer, ring.lines)
    if drawing.drive:
        line = _line(drawing.drive, "drive")
        maker.put(line, ("The drive, in straight lines",))
    for flight, drawn in zip(drawing.flights, plain.lines, strict=True):
        line = _line((flight.start, flight.end), "flight")
        maker.put(line, flight.lines)
        path = f'<path d="M0-7L6 6H-6Z" transform="rotate({drawn.turn})"/>'
        head = f'<svg class="head" viewBox="-8 -8 16 16">{path}</svg>'
        maker.marker(towards(flight.start, flight.end, 0.8), head, 16, flight.lines)
        maker.marker(
            towards(flight.start, flight.end, drawn.part), "", 1, (flight.label, *flight.lines), "apart"
        )
    for mark in (*drawing.parking, *drawing.marks):
        busy = mark.busy
        size = 34 if busy else 22
        label = "" if mark.job == "parking" else "name" if busy else "aside"
        maker.marker(
            mark.place, symbol(mark), size, mark.lines, label, 1000 * busy - 500 * (mark.job == "home")
        )


def _line(places: tuple[Place, ...], name: str) -> folium.PolyLine:
    points = [_point(place) for place in places]
    return folium.PolyLine(points, class_name=name)  # type: ignore[no-untyped-call]


def symbol(mark: Mark) -> str:
    """Return the mark's shape with its stop numbers, made of our own figures only."""
    outline = SHAPES.get(mark.job, "M6 6H26V26H6Z")
    small = " tiny" if len(mark.figure) > 3 else " small" if len(mark.figure) > 2 else ""
    figure = f'<text class="figure{small}" x="16" y="17">{mark.figure}</text>' if mark.figure else ""
    return f'<svg class="sign {mark.job}" viewBox="-1 -1 34 34"><path d="{outline}"/>{figure}</svg>'


def _point(place: Place) -> list[float]:
    return [round(place.lat, 6), round(place.lon, 6)]


def _bounds(places: tuple[Place, ...]) -> list[list[float]]:
    lats, lons = [p.lat for p in places], [p.lon for p in places]
    return [[min(lats), min(lons)], [max(lats), max(lons)]]


def _template(name: str) -> str:
    return (Path(__file__).parent / "templates" / name).read_text(encoding="utf-8")


@cache
def _library() -> tuple[str, str]:
    """Return Leaflet's script and style, free of everything that would be looked for outside the page."""
    folder = Path(leaflet.BASE_DIR)
    script = (folder / "leaflet.js").read_text(encoding="utf-8").replace("\r\n", "\n")
    style = (folder / "leaflet.css").read_text(encoding="utf-8").replace("\r\n", "\n")
    script = re.sub(r"\n//# sourceMappingURL=.*", "", script)
    if "</script" in script.lower() or "</style" in style.lower():
        raise ValueError("the map library cannot be carried inside a page")
    return script, re.sub(r"url\([^)]*\)", "none", style)
