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
  function said(layer, number, side) {
    layer.bindPopup(block(texts[number]), { maxWidth: 260 });
    if (!side) { return; }
    var away = { right: [16, 0], left: [-16, 0], top: [0, -14], bottom: [0, 14] };
    var label = side === "label";
    layer.bindTooltip(block(texts[number].slice(0, 1)), {
      permanent: true, pane: "shadowPane", direction: label ? "center" : side, offset: away[side] || [0, 0],
      className: label ? "apart" : "name", opacity: 1
    });
  }
  function draw() {
  @LAYERS@
  var map = @MAP@;
  map.attributionControl.setPrefix("Leaflet");
  L.control.scale({ metric: @METRIC@, imperial: !@METRIC@ }).addTo(map);
  if (L.Browser.mobile) { map.dragging.disable(); }
  var ground = L.tileLayer("@TILES@/{z}/{x}/{y}.png", { maxZoom: 19, attribution: "© OpenStreetMap contributors" });
  L.control.layers(null, { "@GROUND@": ground }, { collapsed: false }).addTo(map);
  }
  var page = document.documentElement.classList;
  page.add("live");
  try {
    draw();
  } catch (fault) {
    page.remove("live");
    throw fault;
  }
})();
