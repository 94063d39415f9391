/* Field notes typed as a table (CSV), read as routeplan/field/notes.py reads them: nothing is guessed, what cannot
be read is named with its row. Words, columns and what goes together come from there with the data of the day. */
const FRACTIONS = { "½": 1 / 2, "¼": 1 / 4, "¾": 3 / 4, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 1 / 8, "⅜": 3 / 8, "⅝": 5 / 8, "⅞": 7 / 8 };
const AMOUNTS = ["capped", "open", "food", "bees"];

function cleaned(text) {
  const seen = text.normalize("NFC").replace(/[\p{Zs}\p{Zl}\p{Zp}\p{Cc}]/gu, " ").replace(/(?![\u200c\u200d])\p{Cf}/gu, "");
  return seen.split(" ").filter(Boolean).join(" ");
}
function folded(text) { return cleaned(text).toLowerCase(); }
function columnName(header) { return (folded(header).match(/[\p{L}\p{N}]+/gu) || []).join("_"); }

/* Rows of cells; throws what is wrong with the quotation marks. */
function csvRows(text, sign) {
  const rows = [];
  let row = [], cell = "", quoted = false, closed = false, at = 0;
  const end = function () { row.push(cell); cell = ""; closed = false; };
  for (; at < text.length; at += 1) {
    const letter = text[at];
    if (quoted) {
      if (letter !== '"') { cell += letter; }
      else if (text[at + 1] === '"') { cell += '"'; at += 1; }
      else { quoted = false; closed = true; }
    } else if (letter === sign) { end(); }
    else if (letter === "\n" || letter === "\r") {
      if (letter === "\r" && text[at + 1] === "\n") { at += 1; }
      end();
      rows.push(row);
      row = [];
    } else if (closed) { throw new Error("row " + (rows.length + 1) + ": text stands behind a closing quotation mark."); }
    else if (letter === '"' && cell === "") { quoted = true; }
    else { cell += letter; }
  }
  if (quoted) { throw new Error("a quotation mark is never closed."); }
  if (cell !== "" || closed || row.length) { end(); rows.push(row); }
  return rows;
}
function signOf(text) {
  let best = ",", most = 0;
  [",", ";", "\t", "|"].forEach(function (sign) {
    let known = 0;
    try {
      csvRows(text.split(/\r?\n/).slice(0, 20).join("\n"), sign).forEach(function (row) {
        known = Math.max(known, row.filter(function (cell) { return day.columns[columnName(cell)]; }).length);
      });
    } catch (fault) { known = 0; }
    if (known > most) { best = sign; most = known; }
  });
  return best;
}

/* {entries, faults} of a table. */
function typedNotes(text) {
  const said = /^"?sep=(.)"?\r?\n?/i.exec(text), body = said ? text.slice(said[0].length) : text;
  const sign = said ? said[1] : signOf(body), faults = [], entries = [];
  let rows;
  try { rows = csvRows(body, sign); } catch (fault) { return { entries: [], faults: [fault.message] }; }
  const filled = rows.map(function (row, i) { return [i + 1, row]; }).filter(function (one) { return one[1].some(cleaned); });
  const names = filled.length ? filled[0][1].map(columnName) : [];
  names.forEach(function (name, i) {
    if (name && !day.columns[name]) { faults.push("“" + name + "” is not known here. Columns are: " + Object.keys(day.columns).join(", ") + "."); }
    if (name && names.indexOf(name) < i) { faults.push("The column " + name + " is there twice."); }
  });
  if (names.indexOf("what") < 0) { faults.push("The column what is missing."); }
  if (faults.length) { return { entries: [], faults: faults }; }
  filled.slice(1).forEach(function (one) {
    const cells = {}, wrong = [];
    if (one[1].slice(names.length).some(cleaned)) { wrong.push("This row has more cells than the header."); }
    names.forEach(function (name, i) { if (name && (one[1][i] || "").trim()) { cells[name] = one[1][i].trim(); } });
    const entry = wrong.length ? null : typedEntry(cells, sign !== ",", wrong);
    if (entry) { entries.push(entry); }
    wrong.forEach(function (words) { faults.push("row " + one[0] + ": " + words); });
  });
  return { entries: entries, faults: faults };
}
function typedEntry(cells, commas, wrong) {
  const read = {};
  Object.keys(cells).forEach(function (name) {
    const value = typedCell(name, cells[name], commas);
    if (value === undefined) { wrong.push(name + ": “" + cells[name] + "” cannot be read."); } else { read[name] = value; }
  });
  if (!wrong.length) { together(read, wrong); }
  if (wrong.length) { return null; }
  const word = day.words[read.what], entry = {};
  ["at", "stop", "yard", "hive", "box", "what"].forEach(function (name) { if (read[name] !== undefined) { entry[name] = read[name]; } });
  if (read.what === "found" || read.what === "frame_taken") {
    entry.value = {};
    AMOUNTS.concat(["queen", "queen_cells", "health"]).forEach(function (name) { if (read[name] !== undefined) { entry.value[name] = read[name]; } });
  } else if (word.value && read[word.value] !== undefined) { entry.value = read[word.value]; }
  if (read.note !== undefined && word.value !== "note") { entry.note = read.note; }
  return entry;
}
function together(read, wrong) {
  const word = read.what && day.words[read.what];
  if (!word) { wrong.push("The column what is blank."); return; }
  word.needs.forEach(function (name) { if (read[name] === undefined) { wrong.push(read.what + " needs " + name + "."); } });
  Object.keys(read).forEach(function (name) { if (word.uses.indexOf(name) < 0) { wrong.push(name + " does not go with " + read.what + "."); } });
  const placed = read.stop !== undefined || read.yard !== undefined;
  if (!placed && (read.hive !== undefined || (read.box === undefined && read.note === undefined))) { wrong.push(read.what + " does not say where."); }
  const found = AMOUNTS.concat(["queen", "queen_cells", "health"]).filter(function (name) { return read[name] !== undefined; });
  if (read.what === "found" && !found.length) { wrong.push("found says nothing of what was found."); }
  if (read.what === "found" && read.hive === undefined && found.join() !== "health" && found.length) { wrong.push("found needs hive."); }
  if (read.what === "frame_taken") {
    const given = AMOUNTS.filter(function (name) { return read[name] !== undefined; });
    if (!given.length) { wrong.push("frame_taken says no frames."); }
    given.forEach(function (name) { if (read[name] % 1) { wrong.push(read[name] + " frames cannot be taken."); } });
  }
  if (read.what === "note" && read.note === undefined) { wrong.push("A note without words."); }
}

/* The value of one cell; undefined where it cannot be read. */
function typedCell(name, text, commas) {
  const column = day.columns[name], kind = column.kind;
  if (kind === "text") { return text; }
  if (kind === "id") { return text.split(/\s+/).filter(Boolean).join(" "); }
  if (kind === "time") { return typedTime(text.toLowerCase()); }
  if (kind === "health") { return typedHealth(text); }
  if (kind === "choice") {
    const word = folded(text.replace(/[ -]/g, "_"));
    return column.options.find(function (option) { return [option, option + "s", option + "es", option.replace(/s$/, "")].indexOf(word) >= 0; });
  }
  const value = typedNumber(text, commas);
  return value === undefined || value < column.least || value > column.most || (kind === "whole" && value % 1) ? undefined : value;
}
function typedNumber(text, commas) {
  let plain = text.replace("−", "-");
  if (/^[+-]?[0-9]+,[0-9]+$/.test(plain) && (commas || !/^[+-]?[1-9][0-9]{0,2},[0-9]{3}$/.test(plain))) { plain = plain.replace(",", "."); }
  if (/^[+-]?[0-9]+(\.[0-9]+)?$/.test(plain)) { return Number(plain); }
  const part = FRACTIONS[plain.slice(-1)], front = plain.slice(0, -1).trim();
  if (part && /^[0-9]*$/.test(front)) { return Number(front || 0) + part; }
  const halves = /^(?:([0-9]+)\s+)?([0-9]{1,2})\/([0-9]{1,2})$/.exec(plain);
  if (halves && Number(halves[2]) > 0 && Number(halves[2]) < Number(halves[3])) { return Number(halves[1] || 0) + halves[2] / halves[3]; }
  return undefined;
}
function typedTime(plain) {
  const parts = /^([0-9]{1,2}(?=\s?[:h])|[0-9]{2})(?:\s?[:h]\s?)?([0-9]{2})(?::00)?\s?([ap]\.?m\.?)?$/.exec(plain);
  const hour = parts ? null : /^([0-9]{1,2})\s?([ap]\.?m\.?)$/.exec(plain);
  if (parts) { return timeText(Number(parts[1]), Number(parts[2]), parts[3] || ""); }
  if (hour) { return timeText(Number(hour[1]), 0, hour[2]); }
  if (!/^0?[.,][0-9]+$/.test(plain)) { return undefined; }
  const share = Number(plain.replace(",", ".")) * 1440;
  return Math.abs(share - Math.round(share)) < 1 / 60 && share < 1440 ? timeText(0, Math.round(share), "", true) : undefined;
}
function timeText(hours, minutes, half, whole) {
  if (half && (hours < 1 || hours > 12)) { return undefined; }
  const total = 60 * (half ? (hours % 12) + (half[0] === "p" ? 12 : 0) : hours) + minutes;
  if ((minutes > 59 && !whole) || total > 1440) { return undefined; }
  return String(Math.floor(total / 60)).padStart(2, "0") + ":" + String(total % 60).padStart(2, "0");
}
function typedHealth(text) {
  const word = folded(text), all = day.health;
  if (word.indexOf("?") >= 0 || all.suspected.indexOf(word) >= 0) { return "suspect"; }
  if (all.clear.indexOf(word) >= 0) { return "clear"; }
  if (all.confirmed.indexOf(word) >= 0) { return "confirmed"; }
  return word === "not stated" ? word : undefined;
}
