/* Field notes: from what was said to the file's entries, and back. The file is described in data/README.md. */
function entries() {
  const rows = allSaid().filter(function (one) { return one.what !== "frame_taken"; }).map(function (one) {
    return [one, entryOf(one)];
  });
  day.stops.forEach(function (stop, i) {
    boxesOf(i + 1).forEach(function (box) { framesOf(i + 1, box).forEach(function (row) { rows.push(row); }); });
  });
  kept.loose.forEach(function (one) { rows.push([one, one.entry]); });
  rows.sort(function (a, b) { return a[0].at < b[0].at ? -1 : a[0].at > b[0].at ? 1 : a[0].turn - b[0].turn; });
  return rows.map(function (row) { return row[1]; });
}
function entryOf(one) {
  const entry = one.untimed ? {} : { at: one.at };
  entry.stop = one.stop;
  entry.yard = stopOf(one.stop).yard;
  if (one.hive) { entry.hive = one.hive; }
  if (one.box) { entry.box = one.box; }
  entry.what = one.what;
  if (one.value !== undefined && one.value !== "") { entry.value = one.value; }
  if (one.note) { entry.note = one.note; }
  return entry;
}
/* A box that got other frames than planned is written down whole, every hive of it. */
function framesOf(n, box) {
  const givers = giversOf(n, box);
  const changed = givers.some(function (hive) { return said("frame_taken", n, hive, box) || said("could_not", n, hive); });
  if (!changed || said("could_not", n, "", box)) { return []; }
  const through = said("split_made", n, "", box) || said("left", n);
  const rows = [];
  givers.forEach(function (hive) {
    const told = said("frame_taken", n, hive, box), done = said("hive_done", n, hive);
    const from = told || done || through;
    if (!from || (told && told.none) || (!told && said("could_not", n, hive))) { return; }
    const turn = told ? told : { at: from.at, turn: from.turn - 0.5 };
    const value = {};
    const amounts = gave(n, hive, box);
    NOTE_KINDS.forEach(function (kind) { if (amounts[kind] !== undefined) { value[kind] = amounts[kind]; } });
    if (!Object.keys(value).length) { return; }
    rows.push([turn, entryOf({ at: turn.at, stop: n, hive: hive, box: box, what: "frame_taken", value: value })]);
  });
  return rows;
}
function notesText() {
  return JSON.stringify({ notes: 1, plan: day.plan, day: day.day, entries: entries() }, null, 1) + "\n";
}
/* Takes notes from a file, a `table` or one that a sheet saved, in place of what was entered; returns what is
wrong with them, "" for nothing. */
function takeNotes(text, table) {
  let read;
  if (table) {
    const typed = typedNotes(text);
    if (typed.faults.length) {
      const more = typed.faults.length - 3;
      return "This table cannot be read: " + typed.faults.slice(0, 3).join(" ") + (more > 0 ? " And " + more + " more." : "");
    }
    read = { notes: 1, entries: typed.entries };
  } else {
    try {
      read = JSON.parse(text);
    } catch (fault) {
      return "This file cannot be read: it is not one that a day sheet saved.";
    }
  }
  if (!read || read.notes !== 1 || !Array.isArray(read.entries)) { return "This file holds no field notes."; }
  if (read.plan && read.plan !== day.plan) { return "These field notes are about another plan, not about this sheet."; }
  if (read.day && read.day !== day.day) { return "These field notes are about another day: " + read.day + "."; }
  const fresh = nothing();
  let at = "", last = 1;
  read.entries.forEach(function (entry) {
    at = entry.at || at;
    const stop = stopFor(entry, last);
    if (!stop || !entry.what) { fresh.loose.push({ at: at, turn: fresh.next++, entry: entry }); return; }
    if (entry.what !== "found" && entry.what !== "note" && !(entry.what === "could_not" && !entry.hive && !entry.box)) { last = Math.max(last, stop); }
    const one = { what: entry.what, stop: stop, hive: entry.hive || "", box: entry.box || 0, at: at, turn: fresh.next++ };
    if (!entry.at) { one.untimed = true; }
    if (entry.value !== undefined) { one.value = entry.value; }
    if (entry.note) { one.note = entry.note; }
    let name = nameOf(one.what, stop, one.hive, one.box);
    if (one.what === "note") { name = nameOf("note", stop, one.hive, one.turn); }
    const old = fresh.said[name];
    if (old && one.what === "found") { one.value = Object.assign({}, old.value, one.value); }
    if (old && one.what === "frame_taken") { one.value = add(Object.assign({}, old.value), one.value); }
    fresh.said[name] = one;
  });
  kept = fresh;
  restAreNone();
  save();
  return "";
}
/* A box that is made and of which frames are written down got these and no others. */
function restAreNone() {
  day.stops.forEach(function (stop, i) {
    boxesOf(i + 1).forEach(function (box) {
      const all = giversOf(i + 1, box), told = all.filter(function (hive) { return said("frame_taken", i + 1, hive, box); });
      if (!told.length || !(said("split_made", i + 1, "", box) || said("left", i + 1))) { return; }
      all.filter(function (hive) { return told.indexOf(hive) < 0; }).forEach(function (hive) {
        kept.said[nameOf("frame_taken", i + 1, hive, box)] = { what: "frame_taken", stop: i + 1, hive: hive, box: box, at: "00:00", turn: kept.next++, value: whole({}), none: true };
      });
    });
  });
}
/* The stop an entry is about, from 1, 0 for none; a yard gone to twice is that of the visit at `last` or later. */
function stopFor(entry, last) {
  if (entry.stop) { return entry.stop <= day.stops.length ? entry.stop : 0; }
  const later = entry.yard ? day.stops.findIndex(function (stop, i) { return i + 1 >= last && stop.yard === entry.yard; }) : -1;
  if (later >= 0) { return later + 1; }
  const found = day.stops.findIndex(function (stop) {
    if (entry.yard) { return stop.yard === entry.yard; }
    const boxes = entry.what === "split_placed" || entry.what === "opened" ? stop.places : stop.makes;
    return entry.box && boxes.indexOf(entry.box) >= 0;
  });
  return found + 1;
}
