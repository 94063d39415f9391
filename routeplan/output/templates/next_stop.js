(function () {
  "use strict";
  var ticks = Array.prototype.slice.call(document.querySelectorAll("input.left"));
  var lines = Array.prototype.slice.call(document.querySelectorAll("#next [data-stop]"));
  function show() {
    var open = ticks.findIndex(function (tick) { return !tick.checked; });
    var next = open < 0 ? lines.length - 1 : open;
    lines.forEach(function (line, n) { line.hidden = n !== next; });
  }
  ticks.forEach(function (tick) { tick.addEventListener("change", show); });
  show();
})();
