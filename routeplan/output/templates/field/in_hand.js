/* The stop in hand: folding of the cards, the line that stays in reach, plain ticks, saving and loading. */
const nextLines = Array.prototype.slice.call(document.querySelectorAll("#next [data-stop]"));
const totalsLine = document.getElementById("so-far");
const lists = ["before", "load"].map(function (id) { return document.getElementById(id); }).filter(Boolean);
const plainTicks = [];
let inHand = 0;

function firstOpen() {
  const found = day.stops.findIndex(function (stop, i) { return !isLeft(i + 1) && !isSkipped(i + 1); });
  return found < 0 ? day.stops.length + 1 : found + 1;
}
function fold(card, open) {
  const press = card.querySelector(".fold");
  press.setAttribute("aria-expanded", String(open));
  document.getElementById(press.getAttribute("aria-controls")).hidden = !open;
  if (open && card.dataset.stop) { equip(card); }
}
/* What was to be known and loaded before leaving goes out of the way once the day has begun. */
function foldLists() {
  lists.forEach(function (list) {
    fold(list, false);
    list.classList.add("gone");
  });
}
function bindTicks(box, name) {
  Array.prototype.forEach.call(box.querySelectorAll("input[type=checkbox]"), function (input, i) {
    if (input.matches(".left, .made input, .placed input")) { return; }
    const out = input.closest(".out");
    const key = out ? outName(box, out, input) : name + ":" + i;
    const draw = function () { input.checked = Boolean(kept.ticks[key]); };
    draw();
    if (!out) { plainTicks.push(draw); }
    input.addEventListener("change", function () {
      if (input.checked) { kept.ticks[key] = 1; } else { delete kept.ticks[key]; }
      save();
    });
  });
}
function outName(card, out, input) {
  const hive = out.closest(".hive");
  const at = function (all, one) { return Array.prototype.indexOf.call(all, one); };
  const h = at(card.querySelectorAll(".hive:not(.first)"), hive), o = at(hive.querySelectorAll(".out"), out);
  return tickName(Number(card.dataset.stop), h, o, at(out.querySelectorAll("input"), input));
}
function drawTotals() {
  const load = aboard(), now = nowMinutes(), parts = [];
  const empties = Math.max(0, day.empties - load.made);
  const late = behind(), combs = combsBack();
  parts.push("Back about " + clock(day.back + late) + (late ? " (" + Math.abs(late) + " min " + (late > 0 ? "late" : "early") + ")" : ""));
  if (load.since.length) {
    const shut = Math.max(0, now - Math.min.apply(null, load.since));
    parts.push("shut in " + shut + " of " + day.limit + " min");
    totalsLine.classList.toggle("over", shut > day.limit);
  } else { totalsLine.classList.remove("over"); }
  const left = day.places === null ? null : day.places - load.boxes.length - Math.ceil(empties / day.nest);
  parts.push(load.boxes.length + " full aboard" + (left === null ? "" : ", " + left + (left === 1 ? " place" : " places") + " left"));
  if (combs.planned) { parts.push("combs back " + combs.back + " of " + combs.planned); }
  if (totalsLine.textContent !== parts.join(" · ")) { totalsLine.textContent = parts.join(" · "); }
}
function drawAll() {
  const next = firstOpen();
  nextLines.forEach(function (line, i) { line.hidden = i + 1 !== next; });
  cards.forEach(function (card) {
    const n = Number(card.dataset.stop);
    card.classList.toggle("gone", isLeft(n) || isSkipped(n));
    card.querySelector(".mark").textContent = isSkipped(n) && !isLeft(n) ? "left out" : isLeft(n) ? "done" : "";
  });
  if (next !== inHand) {
    cards.forEach(function (card) { fold(card, Number(card.dataset.stop) === next); });
    if (allSaid().length || day.done) { foldLists(); }
    if (inHand) { (document.getElementById("stop-" + next) || document.getElementById("home")).scrollIntoView(); }
    inHand = next;
  }
  Object.keys(equipped).forEach(function (n) { equipped[n](); });
  plainTicks.forEach(function (draw) { draw(); });
  drawTotals();
  drawNotes();
}
function drawNotes() {
  const warning = document.getElementById("kept-trouble"), count = allSaid().length + kept.loose.length;
  tell(warning, trouble);
  tell(document.getElementById("kept-count"), count ? count + (count === 1 ? " thing" : " things") + " written down" + (keeper || disk ? ", kept on this phone under this plan only." : ".") : "Nothing is written down yet.");
  const list = document.getElementById("kept-list");
  if (!list.closest("details").open) { return; }
  list.replaceChildren.apply(list, entries().map(function (entry) { return make("li", { text: entryWords(entry) }); }));
}
function entryWords(entry) {
  const value = entry.value === undefined ? "" : typeof entry.value === "object" ? Object.keys(entry.value).map(function (kind) { return kind.replace("_", " ") + " " + String(entry.value[kind]).replace("_", " "); }).join(", ") : String(entry.value);
  const who = [entry.yard, entry.hive && "hive " + entry.hive, entry.box && "box " + entry.box].filter(Boolean).join(", ");
  return [entry.at, who + ":", entry.what.replace("_", " "), value, entry.note].filter(Boolean).join(" ");
}
function saveFile() {
  const file = new Blob([notesText()], { type: "application/json" });
  const link = make("a", { href: URL.createObjectURL(file), download: "notes-" + day.day + ".json" });
  document.body.appendChild(link);
  link.click();
  link.remove();
  setTimeout(function () { URL.revokeObjectURL(link.href); }, 60000);
}
function loadFile(input) {
  const file = input.files[0];
  if (!file) { return; }
  file.text().then(function (text) {
    const take = function () {
      const wrong = takeNotes(text, /\.csv$/i.test(file.name));
      tell(document.getElementById("kept-said"), wrong || "Field notes loaded: " + file.name + ".");
      inHand = 0;
      drawAll();
    };
    input.value = "";
    if (!allSaid().length) { take(); return; }
    ask("Load " + file.name, ["What is written down here now is replaced by what the file says."], [], take, "Replace");
  });
}
function begin() {
  cards.concat(lists).forEach(function (card) {
    card.querySelector(".fold").addEventListener("click", function () { fold(card, card.querySelector(".fold").getAttribute("aria-expanded") !== "true"); });
  });
  lists.forEach(function (list) { bindTicks(list, list.id); });
  document.querySelectorAll("#next a").forEach(function (link) {
    link.addEventListener("click", function () {
      const card = document.querySelector(link.getAttribute("href"));
      if (card.dataset.stop) { fold(card, true); }
    });
  });
  const chosen = document.getElementById("load-notes");
  document.getElementById("save-notes").addEventListener("click", saveFile);
  chosen.addEventListener("change", function () { loadFile(chosen); });
  document.getElementById("kept-list").closest("details").addEventListener("toggle", drawNotes);
  document.getElementById("field-notes").hidden = false;
  document.documentElement.classList.add("tool");
  drawnAgain.push(drawAll);
  drawAll();
  setInterval(drawTotals, 20000);
}
if (day.stops.length) { begin(); }
