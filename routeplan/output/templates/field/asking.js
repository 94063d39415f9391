/* What is asked at a stop, of a hive, of a box, and what is written down of the answer. */
const STOP_REASONS = ["gate locked", "too wet to drive in", "too cold or raining", "no time left", "health in doubt"];
const HIVE_REASONS = ["too weak", "no queen, no eggs", "queen cells", "queen not found", "bad temper", "health in doubt"];
const BOX_REASONS = ["frames are short", "no bees to spare", "no queen for it", "box broken"];
const CLOSE_UP = "Close up, clean tools and gloves. Nothing leaves this yard and nothing goes in; call the bee inspector.";
const PLAIN_KINDS = { capped: "capped", open: "open", eggs: "open with eggs", mixed: "mixed with eggs", food: "food", shake: "shakes", queen: "queen" };

function reasonFields(reasons, old) {
  const options = reasons.map(function (reason) { return [reason, reason]; });
  const given = old && old.value;
  const own = given && reasons.indexOf(given) < 0 ? given : "";
  return [
    { name: "reason", label: "Why", kind: "choice", value: own ? undefined : given, options: options },
    { name: "own", label: "or in your own words", kind: "text", value: own },
  ];
}
function reasonOf(values) { return values.own || values.reason || "not said"; }
function suspect(where) { say("found", where, { value: Object.assign({}, (said("found", where.stop, where.hive) || {}).value, { health: "suspect" }) }); }

function fallsOf(n) {
  return Array.prototype.map.call(document.querySelectorAll("#stop-" + n + " .falls p"), function (line) { return line.textContent; });
}
function askStopNot(n) {
  const fields = reasonFields(STOP_REASONS, said("could_not", n));
  ask("Could not do " + stopOf(n).yard, ["What falls away:"].concat(fallsOf(n)), fields, function (values) {
    const reason = reasonOf(values);
    say("could_not", { stop: n }, { value: reason });
    if (reason === "health in doubt") { suspect({ stop: n }); }
  });
}
function standbyLines(n, hive) {
  const row = stopOf(n).hives.find(function (one) { return one[0] === hive; });
  const kinds = {}, boxes = [];
  row[1].forEach(function (out) {
    boxes.push(out[0]);
    out[1].forEach(function (kind) { kinds[kind[0]] = (kinds[kind[0]] || 0) + kind[1]; });
  });
  const lines = ["It was to give to " + boxNames(boxes) + ". Next instead of it:"];
  Object.keys(kinds).forEach(function (kind) {
    const next = stopOf(n).next.find(function (one) { return one[0] === kind; });
    const names = (next ? next[1] : []).filter(function (one) { return one[0] !== hive; }).map(function (one) { return one[0] + " (" + one[1] + ")"; });
    lines.push(kinds[kind] + " " + PLAIN_KINDS[kind] + ": " + (names.join(", ") || noneHere(n, kind)));
  });
  return lines.concat(["Write what the next hive gives under “Frames from another hive”."]);
}
/* No hive of this yard stands by: where one does at a later stop, it is no help to this box, and that is said. */
function noneHere(n, kind) {
  const there = [];
  day.stops.forEach(function (stop, i) {
    const next = i + 1 > n && !isSkipped(i + 1) && stop.yard !== stopOf(n).yard && stop.next.find(function (one) { return one[0] === kind; });
    if (next && next[1].length) {
      there.push(next[1].slice(0, 3).map(function (one) { return one[0] + " (" + one[1] + ")"; }).join(", ") + " at " + stop.yard + ", stop " + (i + 1));
    }
  });
  if (!there.length) { return "no other can give it: the box stays short, or is not made"; }
  return "no hive here. In another yard: " + there[0] + ". Not for this box: make the whole box there, if that yard has all it needs.";
}
function boxNames(boxes) { return (boxes.length === 1 ? "box " : "boxes ") + boxes.join(", "); }
function askHiveNot(n, hive) {
  ask("Could not work hive " + hive, standbyLines(n, hive), reasonFields(HIVE_REASONS, said("could_not", n, hive)), function (values) {
    const reason = reasonOf(values);
    delete kept.said[nameOf("hive_done", n, hive)];
    say("could_not", { stop: n, hive: hive }, { value: reason });
    if (reason === "health in doubt") { suspect({ stop: n, hive: hive }); }
  });
}
function askBoxNot(n, box) {
  const lines = ["Frames that are in it go back into the hives they came from.", "It is missing where it was to live; the laptop plans the rest again from your field notes."];
  ask("Could not make box " + box, lines, reasonFields(BOX_REASONS, said("could_not", n, "", box)), function (values) {
    delete kept.said[nameOf("split_made", n, "", box)];
    say("could_not", { stop: n, box: box }, { value: reasonOf(values) });
  });
}
function askFound(n, hive) {
  const old = said("found", n, hive) || {}, value = old.value || {};
  const fields = NOTE_KINDS.map(function (kind) {
    return { name: kind, label: kind === "bees" ? "frames of bees" : kind, kind: "number", step: 0.5, value: value[kind] };
  });
  fields.push({ name: "queen", label: "Queen", kind: "choice", value: value.queen, options: [["seen", "seen"], ["not_seen", "not seen"], ["gone", "gone"]] });
  fields.push({ name: "queen_cells", label: "charged queen cells", kind: "number", value: value.queen_cells });
  fields.push({ name: "health", label: "Health", kind: "choice", value: value.health, options: [["clear", "clear"], ["suspect", "in doubt"]] });
  fields.push({ name: "note", label: "Note", kind: "text", value: old.note });
  ask("Found in hive " + hive, ["Before anything was taken; leave blank what was as recorded."], fields, function (values) {
    const note = values.note;
    delete values.note;
    const found = {};
    Object.keys(values).forEach(function (name) { if (values[name] !== undefined) { found[name] = values[name]; } });
    if (Object.keys(found).length) { say("found", { stop: n, hive: hive }, { value: found, note: note }); }
    else {
      unsay("found", { stop: n, hive: hive });
      if (note) { sayNote(n, hive, note); }
    }
  });
}
function askTaken(n, hive, box) {
  const now = gave(n, hive, box);
  const fields = NOTE_KINDS.map(function (kind) { return { name: kind, label: KIND_WORDS[kind], kind: "number", value: now[kind] || 0 }; });
  ask("Taken from hive " + hive + " into box " + box, [], fields, function (values) {
    say("frame_taken", { stop: n, hive: hive, box: box }, { value: whole(values) });
  });
}
function whole(values) {
  const amounts = {};
  NOTE_KINDS.forEach(function (kind) { amounts[kind] = Math.round(values[kind] || 0); });
  return amounts;
}
function askOther(n) {
  const stop = stopOf(n), first = [];
  stop.next.forEach(function (row) { row[1].forEach(function (one) { if (first.indexOf(one[0]) < 0) { first.push(one[0]); } }); });
  const names = first.concat(stop.hives.map(function (one) { return one[0]; }), stop.others).filter(function (name, i, all) { return all.indexOf(name) === i; });
  const fields = [
    { name: "box", label: "Into box", kind: "choice", options: boxesOf(n).map(function (box) { return [box, String(box)]; }) },
    { name: "hive", label: "From hive", kind: "choice", options: names.map(function (name) { return [name, name]; }) },
  ].concat(NOTE_KINDS.map(function (kind) { return { name: kind, label: KIND_WORDS[kind], kind: "number", value: 0 }; }));
  ask("Frames from another hive", ["Look over its brood first; take no more from one hive than the rule of this yard says."], fields, function (values) {
    if (values.box && values.hive) { say("frame_taken", { stop: n, hive: values.hive, box: values.box }, { value: whole(values) }); }
  });
}
function askPlaceOther(n) {
  const boxes = aboard().boxes.filter(function (box) { return stopOf(n).places.indexOf(box) < 0; });
  const fields = [{ name: "box", label: "Box", kind: "choice", options: boxes.map(function (box) { return [box, String(box)]; }) }];
  const lines = boxes.length ? ["Only where the flying distance to the hives it came from is kept."] : ["No other box is aboard."];
  ask("Another box placed here", lines, boxes.length ? fields : [], function (values) {
    if (values.box) { say("split_placed", { stop: n, box: values.box }); }
  });
}
function askNote(n) {
  ask("Note at " + stopOf(n).yard, [], [{ name: "note", label: "Note", kind: "text" }], function (values) {
    if (values.note) { sayNote(n, "", values.note); }
  });
}
function sayNote(n, hive, note) {
  const turn = kept.next++;
  kept.said[nameOf("note", n, hive, turn)] = { what: "note", stop: n, hive: hive, box: 0, at: clock(nowMinutes()), turn: turn, value: note };
  save();
}
/* Leaving with boxes not ticked: either all was as planned, or they were not made or placed. */
function askLeft(n) {
  const stop = stopOf(n);
  const open = [["split_made", stop.makes], ["split_placed", stop.places]].map(function (row) {
    return [row[0], row[1].filter(function (box) { return !said(row[0], n, "", box) && !said("could_not", n, "", box); })];
  });
  const boxes = open[0][1].concat(open[1][1]);
  if (!boxes.length) { say("left", { stop: n }); return; }
  const options = [["done", "They were done as planned"], ["not", "They were not done"]];
  ask("Not ticked: " + boxNames(boxes), [], [{ name: "how", label: "How was it?", kind: "choice", options: options, value: "done" }], function (values) {
    open.forEach(function (row) {
      row[1].forEach(function (box) {
        if (values.how === "done") { say(row[0], { stop: n, box: box }); }
        else { say("could_not", { stop: n, box: box }, { value: "not done" }); }
      });
    });
    say("left", { stop: n });
  }, "Leave");
}
