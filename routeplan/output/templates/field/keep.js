/* What is entered on the sheet: kept by the browser at each change, under this plan's own name. */
const day = JSON.parse(document.getElementById("field-data").textContent);
const keptAs = "routeplan " + day.plan + " " + day.layout;
const drawnAgain = [];
let trouble = "";
let keeper = findKeeper();
let kept = recall();

function findKeeper() {
  try {
    window.localStorage.setItem("routeplan try", "1");
    window.localStorage.removeItem("routeplan try");
    return window.localStorage;
  } catch (fault) {
    trouble = "This browser keeps nothing that is entered here: save the field notes to a file at every stop.";
    return null;
  }
}
function nothing() { return { next: 1, said: {}, ticks: {}, loose: [] }; }
function recall() {
  const text = keeper && keeper.getItem(keptAs);
  if (!text) { return nothing(); }
  try {
    return Object.assign(nothing(), JSON.parse(text));
  } catch (fault) {
    keeper.setItem(keptAs + " unreadable", text);
    trouble = "What was entered before cannot be read. It is kept aside; load the field notes from a file.";
    return nothing();
  }
}
function save() {
  if (keeper) {
    try {
      keeper.setItem(keptAs, JSON.stringify(kept));
      trouble = "";
    } catch (fault) {
      trouble = "The browser has no room left: what is entered now is not kept. Save the field notes to a file.";
    }
  }
  drawnAgain.forEach(function (draw) { draw(); });
}
window.addEventListener("storage", function (event) {
  if (event.key === keptAs) {
    kept = recall();
    drawnAgain.forEach(function (draw) { draw(); });
  }
});

/* One thing said: what, at which stop, of which hive or box. Said again it keeps its time and its turn. */
function nameOf(what, stop, hive, box) { return JSON.stringify([what, stop, hive || "", box || 0]); }
function said(what, stop, hive, box) { return kept.said[nameOf(what, stop, hive, box)]; }
function say(what, where, more) {
  const name = nameOf(what, where.stop, where.hive, where.box);
  const old = kept.said[name];
  const fresh = { what: what, stop: where.stop, hive: where.hive || "", box: where.box || 0 };
  const turn = { at: old ? old.at : clock(nowMinutes()), turn: old ? old.turn : kept.next++ };
  kept.said[name] = Object.assign(fresh, turn, more);
  save();
}
function unsay(what, where) {
  delete kept.said[nameOf(what, where.stop, where.hive, where.box)];
  save();
}
function allSaid() { return Object.keys(kept.said).map(function (name) { return kept.said[name]; }); }

function nowMinutes() {
  const now = new Date();
  return 60 * now.getHours() + now.getMinutes();
}
function clock(minutes) {
  const whole = ((Math.round(minutes) % 1440) + 1440) % 1440;
  return String(Math.floor(whole / 60)).padStart(2, "0") + ":" + String(whole % 60).padStart(2, "0");
}
function minutesOf(text) {
  const parts = /^(\d\d):(\d\d)$/.exec(text || "");
  return parts ? 60 * Number(parts[1]) + Number(parts[2]) : null;
}
