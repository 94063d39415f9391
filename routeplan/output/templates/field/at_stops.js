/* The cards of the stops: buttons beside the printed work, put in when a card is opened first. */
const cards = Array.prototype.slice.call(document.querySelectorAll(".card[data-stop]"));
const equipped = {};

function timeOf(what, where, label) {
  const input = make("input", { type: "time", "aria-label": label, class: "at" });
  input.addEventListener("change", function () { if (input.value) { say(what, where, { at: input.value }); } });
  return function () {
    const told = said(what, where.stop, where.hive, where.box);
    input.hidden = !told;
    if (told && document.activeElement !== input) { input.value = told.at; }
    return input;
  };
}
/* A button that says a thing and, pressed again, takes it back; with the time beside it. */
function toggle(text, what, where, saying) {
  const press = button(text, function () {
    if (said(what, where.stop, where.hive, where.box)) { unsay(what, where); } else if (saying) { saying(); } else { say(what, where); }
  });
  const time = timeOf(what, where, text + ": time");
  const both = make("span", { class: "pair" }, [press, time()]);
  both.draw = function () {
    press.setAttribute("aria-pressed", String(Boolean(said(what, where.stop, where.hive, where.box))));
    time();
  };
  return both;
}
function status() { return make("p", { class: "said", "aria-live": "polite" }); }
function tell(line, text) {
  if (line.textContent !== text) { line.textContent = text; }
  line.hidden = !text;
}
function amounts(value) {
  return NOTE_KINDS.concat(["queen"]).filter(function (kind) { return value[kind]; }).map(function (kind) { return value[kind] + " " + KIND_WORDS[kind]; }).join(", ") || "nothing";
}

function equip(card) {
  const n = Number(card.dataset.stop);
  if (equipped[n]) { return; }
  const draws = [stopTools(card, n), leaving(card, n)];
  card.querySelectorAll(".hive:not(.first)").forEach(function (section, h) { draws.push(hiveTools(section, n, h)); });
  card.querySelectorAll(".made").forEach(function (row, i) { draws.push(boxTools(row, n, stopOf(n).makes[i])); });
  card.querySelectorAll(".begun").forEach(function (row, i) { draws.push(begunTools(row, n, stopOf(n).begins[i])); });
  card.querySelectorAll(".placed").forEach(function (row, i) { draws.push(placing(row, n, stopOf(n).places[i])); });
  const taking = card.querySelector(".hives:not(.first)"), placingHere = card.querySelector(".placing");
  if (taking) { draws.push(yardTools(taking, n)); }
  if (placingHere) { draws.push(openingTools(placingHere, n)); }
  card.querySelectorAll(".need li").forEach(function (row, i) { draws.push(tally(row, n, i)); });
  bindTicks(card, "stop-" + n);
  equipped[n] = function () { draws.forEach(function (draw) { draw(); }); };
  equipped[n]();
}
function stopTools(card, n) {
  const came = toggle("Arrived", "arrived", { stop: n });
  const not = button("Could not …", function () { askStopNot(n); });
  const doubt = button("Health in doubt …", function () {
    ask("Health in doubt at " + stopOf(n).yard, [CLOSE_UP], [], function () { suspect({ stop: n }); });
  });
  const back = button("It can be done after all", function () { unsay("could_not", { stop: n }); });
  const line = status(), warning = make("div", { class: "careful", role: "alert" }, [make("p", {})]);
  const tools = make("div", { class: "tools" }, [came, not, button("Note …", function () { askNote(n); }), doubt, back]);
  card.querySelector(".work").prepend(tools, line, warning);
  return function () {
    const skipped = said("could_not", n);
    came.draw();
    back.hidden = !skipped;
    not.hidden = Boolean(skipped);
    const notes = allSaid().filter(function (one) { return one.what === "note" && one.stop === n; });
    const lines = notes.map(function (one) { return "Note " + one.at + ": " + one.value; });
    if (skipped) { lines.unshift("Could not be done: " + skipped.value + ". " + fallsOf(n).join(" ")); }
    tell(line, lines.join(" · "));
    const ill = allSaid().some(function (one) { return one.what === "found" && one.stop === n && one.value && one.value.health && one.value.health !== "clear"; });
    warning.hidden = !ill;
    if (ill) {
      const made = madeAt(n);
      warning.firstChild.textContent = CLOSE_UP + (made.length ? " Keep apart what has its frames: " + boxNames(made) + "." : "");
    }
  };
}
function hiveTools(section, n, h) {
  const hive = stopOf(n).hives[h], name = hive[0];
  const done = toggle("Hive done", "hive_done", { stop: n, hive: name }, function () { hiveDone(n, h); });
  const back = button("Worked after all", function () { unsay("could_not", { stop: n, hive: name }); });
  const not = button("Could not …", function () { askHiveNot(n, name); });
  const line = status();
  const tools = make("div", { class: "tools" }, [done, button("Found …", function () { askFound(n, name); }), not, back]);
  const rows = section.querySelectorAll(".out");
  rows.forEach(function (row, o) {
    const change = button("Other …", function () { askTaken(n, name, hive[1][o][0]); });
    change.setAttribute("aria-label", "Other frames from hive " + name + " into box " + hive[1][o][0]);
    row.appendChild(change);
  });
  section.append(tools, line);
  const combs = hive[2] ? button("Combs back: other …", function () {
    ask("Combs put back into hive " + name, [], [{ name: "count", label: "combs", kind: "number", value: hive[2] }], function (values) {
      say("put_back", { stop: n, hive: name }, { value: Math.round(values.count || 0) });
    });
  }) : null;
  if (combs) { tools.appendChild(combs); }
  return function () {
    const skipped = said("could_not", n, name);
    done.draw();
    done.hidden = Boolean(skipped);
    not.hidden = Boolean(skipped);
    back.hidden = !skipped;
    rows.forEach(function (row, o) { drawTicks(row, n, h, o); });
    section.classList.toggle("through", Boolean(said("hive_done", n, name)));
    tell(line, hiveLine(n, h));
  };
}
/* Done with only some ticked: what is ticked is what was taken. */
function hiveDone(n, h) {
  const hive = stopOf(n).hives[h];
  hive[1].forEach(function (out, o) {
    const all = ticksOf(out[1]).length, now = ticked(n, h, o).length;
    if (now && now < all && !said("frame_taken", n, hive[0], out[0])) {
      const value = whole(inNotes(ticked(n, h, o)));
      kept.said[nameOf("frame_taken", n, hive[0], out[0])] = { what: "frame_taken", stop: n, hive: hive[0], box: out[0], at: clock(nowMinutes()), turn: kept.next++, value: value };
    }
  });
  say("hive_done", { stop: n, hive: hive[0] });
}
function hiveLine(n, h) {
  const hive = stopOf(n).hives[h], name = hive[0], lines = [];
  const skipped = said("could_not", n, name), found = said("found", n, name), combs = said("put_back", n, name);
  if (skipped) { lines.push("Could not be worked: " + skipped.value + ". " + standbyLines(n, name).slice(1).join("; ")); }
  hive[1].forEach(function (out) {
    const told = said("frame_taken", n, name, out[0]);
    if (told) { lines.push("Box " + out[0] + " got " + amounts(told.value) + " (planned " + amounts(inNotes(out[1])) + ")."); }
  });
  if (found) {
    const value = found.value || {};
    const words = Object.keys(value).map(function (kind) { return kind.replace("_", " ") + " " + String(value[kind]).replace("_", " "); });
    lines.push("Found: " + words.join(", ") + (found.note ? "; " + found.note : "") + ".");
  }
  if (combs) { lines.push(combs.value + " combs put back."); }
  return lines.join(" ");
}
function drawTicks(row, n, h, o) {
  const name = stopOf(n).hives[h][0], out = stopOf(n).hives[h][1][o];
  const told = said("frame_taken", n, name, out[0]);
  const through = said("hive_done", n, name) && !told;
  const left = told ? Object.assign({}, told.value) : {};
  row.querySelectorAll("input").forEach(function (input, i) {
    const kind = ticksOf(out[1])[i];
    if (told && IN_NOTES[kind[0]]) {
      input.checked = (left[IN_NOTES[kind[0]]] || 0) > 0;
      left[IN_NOTES[kind[0]]] = (left[IN_NOTES[kind[0]]] || 0) - kind[1];
    } else { input.checked = Boolean(through || kept.ticks[tickName(n, h, o, i)]); }
    input.disabled = Boolean(told || through);
  });
}
function boxTools(row, n, box) {
  const tick = row.querySelector("input");
  tick.addEventListener("change", function () { if (tick.checked) { madeNow(n, box, tick); } else { unsay("split_made", { stop: n, box: box }); } });
  const time = timeOf("split_made", { stop: n, box: box }, "Box " + box + " closed: time");
  const not = button("Could not …", function () { askBoxNot(n, box); });
  not.setAttribute("aria-label", "Could not make box " + box);
  const back = button("Made after all", function () { unsay("could_not", { stop: n, box: box }); });
  const line = status();
  row.append(make("div", { class: "tools" }, [time(), not, back]), line);
  return function () {
    const skipped = said("could_not", n, "", box);
    tick.checked = Boolean(said("split_made", n, "", box));
    tick.disabled = Boolean(skipped);
    not.hidden = Boolean(skipped) || tick.checked;
    back.hidden = !skipped;
    time();
    tell(line, skipped ? "Not made: " + skipped.value + "." : gotOtherwise(n, box));
  };
}
/* A box begun here and completed in another yard: what it got here, and that it could not be begun. */
function begunTools(row, n, box) {
  const not = button("Could not …", function () { askBoxNot(n, box); });
  not.setAttribute("aria-label", "Could not begin box " + box);
  const back = button("Begun after all", function () { unsay("could_not", { stop: n, box: box }); });
  const line = status();
  row.append(make("div", { class: "tools" }, [not, back]), line);
  return function () {
    const skipped = said("could_not", n, "", box);
    not.hidden = Boolean(skipped);
    back.hidden = !skipped;
    tell(line, skipped ? "Not begun: " + skipped.value + "." : gotOtherwise(n, box));
  };
}
function gotOtherwise(n, box) {
  const extra = giversOf(n, box).filter(function (hive) { return said("frame_taken", n, hive, box); });
  const got = extra.map(function (hive) { return amounts(said("frame_taken", n, hive, box).value) + " from hive " + hive; });
  return got.length ? "Got otherwise: " + got.join("; ") + "." : "";
}
function madeNow(n, box, tick) {
  const wanted = {}, got = {};
  giversOf(n, box).forEach(function (hive) {
    add(wanted, plannedFor(n, hive, box));
    if (!said("could_not", n, hive) || said("frame_taken", n, hive, box)) {
      add(got, said("frame_taken", n, hive, box) ? gave(n, hive, box) : plannedFor(n, hive, box));
    }
  });
  const short = NOTE_KINDS.filter(function (kind) { return (got[kind] || 0) < (wanted[kind] || 0); });
  if (!short.length) { say("split_made", { stop: n, box: box }); return; }
  tick.checked = false;
  const nothingIn = !NOTE_KINDS.some(function (kind) { return got[kind]; });
  const lines = short.map(function (kind) { return (got[kind] || 0) + " of " + wanted[kind] + " " + KIND_WORDS[kind]; });
  if (nothingIn) { ask("Box " + box + " has nothing in it", ["Write first what it got: “Frames from another hive”."], [], function () {}, "All right"); return; }
  ask("Box " + box + " is short", ["It has " + lines.join(", ") + "."], [], function () { say("split_made", { stop: n, box: box }); }, "Close it so");
}
function placing(row, n, box) {
  const tick = row.querySelector("input");
  tick.addEventListener("change", function () { if (tick.checked) { say("split_placed", { stop: n, box: box }); } else { unsay("split_placed", { stop: n, box: box }); } });
  const time = timeOf("split_placed", { stop: n, box: box }, "Box " + box + " placed: time");
  row.append(time());
  return function () {
    tick.checked = Boolean(said("split_placed", n, "", box));
    time();
  };
}
function openingTools(list, n) {
  const opened = toggle("All opened", "opened", { stop: n });
  const line = status();
  list.after(make("div", { class: "tools" }, [opened, button("Another box placed here …", function () { askPlaceOther(n); })]), line);
  return function () {
    opened.draw();
    const more = allSaid().filter(function (one) { return one.what === "split_placed" && one.stop === n && stopOf(n).places.indexOf(one.box) < 0; });
    tell(line, more.length ? "Also placed here: " + boxNames(more.map(function (one) { return one.box; })) + "." : "");
  };
}
function yardTools(hives, n) {
  const line = make("div", { class: "careful" }, [make("p", {})]);
  hives.after(make("div", { class: "tools" }, [button("Frames from another hive …", function () { askOther(n); })]), line);
  return function () {
    const most = stopOf(n).most, brood = takenAt(n).brood;
    const over = most ? Object.keys(brood).filter(function (hive) { return brood[hive] > most[0]; }) : [];
    const planned = function (hive) { return boxesOf(n).reduce(function (sum, box) { const p = plannedFor(n, hive, box); return sum + (p.capped || 0) + (p.open || 0); }, 0); };
    const beyond = over.filter(function (hive) { return brood[hive] > planned(hive); });
    line.hidden = !beyond.length;
    line.firstChild.textContent = beyond.map(function (hive) { return brood[hive] + " brood from hive " + hive + ": the rule here is " + most[0] + " (" + most[1] + " from a strong one)."; }).join(" ");
  };
}
/* What is taken of one kind so far, in place of the tally boxes of the printed sheet. */
function tally(row, n, i) {
  const kinds = stopOf(n).need[i], count = make("span", { class: "so-far" });
  row.appendChild(count);
  return function () {
    const sums = takenAt(n), note = IN_NOTES[kinds[0]];
    const alike = stopOf(n).need.filter(function (one) { return IN_NOTES[one[0]] === note; }).length > 1;
    tell(count, note ? "taken " + (sums.taken[note] || 0) + " of " + (sums.wanted[note] || 0) + (alike ? " " + KIND_WORDS[note] + " in all" : "") : "");
  };
}
function leaving(card, n) {
  const tick = card.querySelector("input.left");
  const time = timeOf("left", { stop: n }, "Left: time");
  tick.addEventListener("change", function () {
    if (!tick.checked) { unsay("left", { stop: n }); return; }
    tick.checked = false;
    askLeft(n);
  });
  tick.closest(".tick").after(time());
  return function () {
    tick.checked = isLeft(n);
    time();
  };
}
