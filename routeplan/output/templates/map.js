(function () {
  "use strict";
  var texts = JSON.parse(document.getElementById("map-texts").textContent);
  function block(lines) {
    var box = document.createElement("div");
    lines.forEach(function (line, n) {
      var part = document.createElement(n ? "div" : "strong");
      part.textContent = line;
      box.appendChild(part);
    });
    return box;
  }
  var away = { right: [16, 0], left: [-16, 0], top: [0, -14], bottom: [0, 14], center: [0, 0] };
  var labelled = { name: [], apart: [], aside: [] };
  function said(layer, number, label) {
    layer.bindPopup(block(texts[number]), { maxWidth: 260 });
    var element = layer.getElement && layer.getElement();
    if (element && element.getAttribute("role") === "button") { element.setAttribute("aria-label", texts[number].join(", ")); }
    if (!label) { return; }
    var first = block(texts[number].slice(0, 1));
    layer.bindTooltip(first, { permanent: true, pane: "shadowPane", className: label, opacity: 1 });
    labelled[label].push(layer);
  }
  function apart(a, b) {
    return a.right <= b.left + 2 || b.right <= a.left + 2 || a.bottom <= b.top + 2 || b.bottom <= a.top + 2;
  }
  /* Labels stand where they cover no sign and no other label; where there is no such place they wait for a closer look. */
  function makeRoom(map) {
    var field = map.getContainer().getBoundingClientRect();
    var signs = map.getContainer().querySelectorAll(".leaflet-marker-pane .sign, .leaflet-control");
    var taken = Array.prototype.map.call(signs, function (sign) { return sign.getBoundingClientRect(); });
    function place(layer, sides) {
      var tip = layer.getTooltip(), element = tip.getElement();
      var found = sides.some(function (side) {
        tip.options.direction = side;
        tip.options.offset = L.point(away[side]);
        tip.update();
        var box = element.getBoundingClientRect();
        var inside = box.left >= field.left && box.right <= field.right && box.top >= field.top && box.bottom <= field.bottom;
        return inside && taken.every(function (other) { return apart(box, other); }) && taken.push(box);
      });
      element.style.visibility = found ? "" : "hidden";
    }
    var around = ["right", "left", "top", "bottom"];
    labelled.name.forEach(function (layer) { place(layer, around); });
    labelled.apart.forEach(function (layer) { place(layer, ["center"].concat(around)); });
    labelled.aside.forEach(function (layer) { place(layer, around); });
  }
  function draw() {
  @LAYERS@
  var map = @MAP@;
  map.attributionControl.setPrefix("Leaflet");
  L.control.scale({ metric: @METRIC@, imperial: !@METRIC@ }).addTo(map);
  if (L.Browser.mobile) { map.dragging.disable(); }
  var ground = L.tileLayer("@TILES@/{z}/{x}/{y}.png", { maxZoom: 19, attribution: "© OpenStreetMap contributors" });
  L.control.layers(null, { "@GROUND@": ground }, { collapsed: false }).addTo(map);
  if (map.getSize().x > 500) { map.fitBounds(@FIELD@, { padding: @PADDING@, maxZoom: @CLOSEST@, animate: false }); }
  map.on("zoomend moveend resize", function () { makeRoom(map); });
  makeRoom(map);
  }
  var page = document.documentElement.classList;
  /* The work comes first: the map is drawn once the sheet can be used. */
  requestAnimationFrame(function () {
    setTimeout(function () {
      page.add("live");
      try {
        draw();
      } catch (fault) {
        page.remove("live");
        throw fault;
      } finally {
        page.add("drawn");
      }
    }, 0);
  });
})();
