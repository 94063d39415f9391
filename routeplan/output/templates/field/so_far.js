/* Where the day stands: what was taken, made and placed, by the same rules as the field notes are read. */
const IN_NOTES = { capped: "capped", open: "open", eggs: "open", mixed: "open", food: "food", shake: "bees" };
const NOTE_KINDS = ["capped", "open", "food", "bees"];
const KIND_WORDS = { capped: "capped", open: "open", food: "food", bees: "shakes", queen: "queen" };

function stopOf(n) { return day.stops[n - 1]; }
function isLeft(n) { return n <= day.done || Boolean(said("left", n)); }
function isSkipped(n) { return Boolean(said("could_not", n)); }

/* Counts by the words of the notes; one tick stands for all shakes. */
function inNotes(kinds) {
  const found = {};
  kinds.forEach(function (kind) {
    const name = IN_NOTES[kind[0]];
    if (name) { found[name] = (found[name] || 0) + kind[1]; }
  });
  return found;
}
function ticksOf(kinds) {
  const ticks = [];
  kinds.forEach(function (kind) {
    const single = kind[0] === "shake" || kind[0] === "queen";
    for (let i = 0; i < (single ? 1 : kind[1]); i += 1) { ticks.push([kind[0], single ? kind[1] : 1]); }
  });
  return ticks;
}
function tickName(n, h, o, i) { return [n, h, o, i].join("."); }
function ticked(n, h, o) {
  const kinds = stopOf(n).hives[h][1][o][1];
  return ticksOf(kinds).filter(function (tick, i) { return kept.ticks[tickName(n, h, o, i)]; });
}
function plannedFor(n, hive, box) {
  const row = stopOf(n).hives.find(function (one) { return one[0] === hive; });
  const out = row && row[1].find(function (one) { return one[0] === box; });
  return out ? inNotes(out[1]) : {};
}
/* What one hive gave to one box: as corrected, else as planned once it is done, else as ticked so far. */
function gave(n, hive, box) {
  const row = said("frame_taken", n, hive, box);
  if (row) { return row.value; }
  if (said("could_not", n, hive)) { return {}; }
  if (isLeft(n) || said("hive_done", n, hive) || said("split_made", n, "", box)) { return plannedFor(n, hive, box); }
  const h = stopOf(n).hives.findIndex(function (one) { return one[0] === hive; });
  const o = h < 0 ? -1 : stopOf(n).hives[h][1].findIndex(function (one) { return one[0] === box; });
  return o < 0 ? {} : inNotes(ticked(n, h, o));
}
/* Every hive that gives to a box at a stop: those planned, then those that stand in. */
function giversOf(n, box) {
  const planned = stopOf(n).hives.filter(function (one) {
    return one[1].some(function (out) { return out[0] === box; });
  }).map(function (one) { return one[0]; });
  const others = allSaid().filter(function (one) {
    return one.what === "frame_taken" && one.stop === n && one.box === box && planned.indexOf(one.hive) < 0;
  }).map(function (one) { return one.hive; });
  return planned.concat(others);
}
function boxesOf(n) {
  const boxes = stopOf(n).makes.slice();
  stopOf(n).hives.forEach(function (hive) {
    hive[1].forEach(function (out) { if (boxes.indexOf(out[0]) < 0) { boxes.push(out[0]); } });
  });
  return boxes;
}
function add(sum, more) {
  Object.keys(more).forEach(function (kind) { sum[kind] = (sum[kind] || 0) + more[kind]; });
  return sum;
}
function takenAt(n) {
  const taken = {}, wanted = {}, brood = {};
  boxesOf(n).forEach(function (box) {
    giversOf(n, box).forEach(function (hive) {
      const gives = gave(n, hive, box);
      add(taken, gives);
      add(wanted, plannedFor(n, hive, box));
      brood[hive] = (brood[hive] || 0) + (gives.capped || 0) + (gives.open || 0);
    });
  });
  return { taken: taken, wanted: wanted, brood: brood };
}
function madeAt(n) {
  const told = stopOf(n).makes.filter(function (box) { return said("split_made", n, "", box); });
  if (told.length || !isLeft(n)) { return told; }
  return stopOf(n).makes.filter(function (box) { return !said("could_not", n, "", box); });
}
function placedAt(n, made) {
  const told = allSaid().filter(function (one) { return one.what === "split_placed" && one.stop === n; });
  if (told.length) { return told.map(function (one) { return one.box; }); }
  if (!isLeft(n) && !said("opened", n)) { return []; }
  return stopOf(n).places.filter(function (box) { return made[box] && !said("could_not", n, "", box); });
}
/* Boxes aboard, each with the minute from which it counts as shut in: leaving the yard of its first bees. */
function aboard() {
  const made = {}, placed = {}, first = {};
  day.stops.forEach(function (stop, i) {
    const n = i + 1;
    if (isSkipped(n) && !said("arrived", n)) { return; }
    placedAt(n, made).forEach(function (box) { placed[box] = n; });
    madeAt(n).concat(isLeft(n) ? stop.begins.filter(function (box) { return !said("could_not", n, "", box); }) : []).forEach(function (box) {
      made[box] = n;
      first[box] = first[box] || n;
    });
  });
  const boxes = Object.keys(made).map(Number).filter(function (box) { return !placed[box]; });
  return {
    made: Object.keys(made).length,
    boxes: boxes,
    since: boxes.map(function (box) { return leftMinute(first[box]); }).filter(function (at) { return at !== null; }),
  };
}
function leftMinute(n) {
  const left = said("left", n);
  return left ? minutesOf(left.at) : n <= day.done ? stopOf(n).depart : null;
}
function combsBack() {
  let back = 0, planned = 0;
  day.stops.forEach(function (stop, i) {
    stop.hives.forEach(function (hive) {
      planned += hive[2];
      const told = said("put_back", i + 1, hive[0]);
      const through = (isLeft(i + 1) || said("hive_done", i + 1, hive[0])) && !said("could_not", i + 1, hive[0]);
      back += told ? told.value : through ? hive[2] : 0;
    });
  });
  return { back: back, planned: planned };
}
/* Minutes behind the plan: at the last time written of coming or leaving; a stop left out is time gained. */
function behind() {
  let late = 0;
  day.stops.forEach(function (stop, i) {
    const came = said("arrived", i + 1), left = said("left", i + 1);
    if (isSkipped(i + 1) && !came) { late -= stop.depart - stop.arrive; }
    if (came && came.at) { late = minutesOf(came.at) - stop.arrive; }
    if (left && left.at) { late = minutesOf(left.at) - stop.depart; }
  });
  return late;
}
