/* What is entered on the sheet: kept by the browser at each change, under this plan's own name.

It is kept in two places: in one that is read at once (localStorage) and in one that is on the disk within a blink
(IndexedDB, written through), as the first may reach the disk only seconds later. The newer of the two counts. */
const day = JSON.parse(document.getElementById("field-data").textContent);
const keptAs = "routeplan " + day.plan + " " + day.layout;
const drawnAgain = [];
const KEEPS_NOTHING = "This browser keeps nothing that is entered here: save the field notes to a file at every stop.";
const NO_ROOM = "The browser has no room left: what is entered now is not kept. Save the field notes to a file.";
const UNREADABLE = "What was entered before cannot be read. It is kept aside; load the field notes from a file.";
let saves = 0;
let trouble = "";
let disk = null;
let keeper = findKeeper();
let kept = recall();
const asRead = JSON.parse(JSON.stringify(kept));
openDisk();

function findKeeper() {
  try {
    window.localStorage.setItem("routeplan try", "1");
    window.localStorage.removeItem("routeplan try");
    return window.localStorage;
  } catch (fault) {
    return null;
  }
}
function nothing() { return { next: 1, saves: 0, said: {}, ticks: {}, loose: [] }; }
function recall() {
  const found = readBack(keeper && keeper.getItem(keptAs));
  saves = Math.max(saves, found.saves);
  return found;
}
function readBack(text) {
  if (!text) { return nothing(); }
  try {
    return Object.assign(nothing(), JSON.parse(text));
  } catch (fault) {
    if (keeper) { keeper.setItem(keptAs + " unreadable", text); }
    trouble = UNREADABLE;
    return nothing();
  }
}
function save() {
  saves += 1;
  kept.saves = saves;
  const text = JSON.stringify(kept);
  let full = !keeper;
  if (keeper) {
    try { keeper.setItem(keptAs, text); } catch (fault) { full = true; }
  }
  if (!full) { trouble = ""; }
  if (disk) { write(text, full); } else if (full) { trouble = keeper ? NO_ROOM : KEEPS_NOTHING; }
  drawnAgain.forEach(function (draw) { draw(); });
}

function openDisk() {
  let asked;
  try { asked = window.indexedDB.open("routeplan", 1); } catch (fault) { return noDisk(); }
  asked.onupgradeneeded = function () { asked.result.createObjectStore("kept"); };
  asked.onerror = noDisk;
  asked.onsuccess = function () {
    disk = asked.result;
    const found = disk.transaction("kept").objectStore("kept").get(keptAs);
    found.onerror = noDisk;
    found.onsuccess = function () { newer(found.result); };
  };
}
function noDisk() {
  disk = null;
  if (!keeper) { trouble = KEEPS_NOTHING; }
  drawnAgain.forEach(function (draw) { draw(); });
}
/* Takes the copy on the disk where it is the newer one; what was entered while it was looked for comes on top. */
function newer(text) {
  const found = readBack(text);
  if (found.saves > asRead.saves) {
    Object.keys(kept.said).forEach(function (name) {
      if (JSON.stringify(kept.said[name]) !== JSON.stringify(asRead.said[name])) { found.said[name] = kept.said[name]; }
    });
    Object.keys(kept.ticks).forEach(function (name) { if (!asRead.ticks[name]) { found.ticks[name] = 1; } });
    found.next = Math.max(found.next, kept.next);
    kept = found;
    saves = Math.max(saves, found.saves);
    trouble = "";
    save();
  } else if (asRead.saves || saves) { write(JSON.stringify(kept), false); }
}
/* `needed`: this is the only place that takes it. */
function write(text, needed) {
  const lost = function () {
    if (!needed) { return; }
    trouble = NO_ROOM;
    drawnAgain.forEach(function (draw) { draw(); });
  };
  try {
    const job = disk.transaction("kept", "readwrite", { durability: "strict" });
    job.objectStore("kept").put(text, keptAs);
    job.oncomplete = function () { if (needed) { trouble = ""; } };
    job.onabort = lost;
  } catch (fault) { lost(); }
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
