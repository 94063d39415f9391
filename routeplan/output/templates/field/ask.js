/* The one panel that asks: big steppers, choices and a line of text; nothing is written before "Write down". */
function make(tag, attributes, inside) {
  const element = document.createElement(tag);
  Object.keys(attributes || {}).forEach(function (name) {
    if (name === "text") { element.textContent = attributes.text; }
    else if (name === "click") { element.addEventListener("click", attributes.click); }
    else if (attributes[name] !== undefined) { element.setAttribute(name, attributes[name]); }
  });
  (inside || []).forEach(function (part) { if (part) { element.appendChild(part); } });
  return element;
}
function button(text, click, look) { return make("button", { type: "button", class: look || "do", text: text, click: click }); }

const panel = make("dialog", { id: "ask", "aria-labelledby": "ask-title" });
document.body.appendChild(panel);

/* Asks; `fields` are {name, label, kind: number | choice | text, value, step, options}; `then` gets the values. */
function ask(title, lines, fields, then, words) {
  const read = {};
  const parts = fields.map(function (field) { return asked(field, read); });
  const close = function () { panel.close(); };
  const write = function () {
    const values = {};
    fields.forEach(function (field) { values[field.name] = read[field.name](); });
    close();
    then(values);
  };
  panel.replaceChildren.apply(panel, [make("h2", { id: "ask-title", text: title })].concat(
    lines.map(function (line) { return make("p", { text: line }); }),
    parts,
    [make("div", { class: "tools" }, [button(words || "Write down", write, "do sure"), button("Back", close)])]
  ));
  panel.showModal();
}
function asked(field, read) {
  if (field.kind === "choice") { return choice(field, read); }
  const id = "ask-" + field.name;
  const input = make("input", { id: id, type: field.kind === "number" ? "number" : "text", inputmode: field.kind === "number" ? "decimal" : undefined, min: 0, step: field.step || 1, autocomplete: "off" });
  if (field.value !== undefined) { input.value = field.value; }
  if (field.kind !== "number") {
    read[field.name] = function () { return input.value.trim(); };
    return make("div", { class: "asked" }, [make("label", { for: id, text: field.label }), input]);
  }
  read[field.name] = function () { return input.value === "" ? undefined : Math.max(0, Number(input.value.replace(",", "."))); };
  const by = function (more) {
    return function () { input.value = Math.max(0, Number(input.value || 0) + more); };
  };
  const less = button("−", by(-(field.step || 1))), more = button("+", by(field.step || 1));
  less.setAttribute("aria-label", "less " + field.label);
  more.setAttribute("aria-label", "more " + field.label);
  return make("div", { class: "asked count" }, [make("label", { for: id, text: field.label }), less, input, more]);
}
function choice(field, read) {
  const rows = field.options.map(function (option, i) {
    const input = make("input", { type: "radio", name: "ask-" + field.name, id: "ask-" + field.name + i, value: i });
    input.checked = option[0] === field.value;
    return make("label", { class: "choice", for: input.id }, [input, make("span", { text: option[1] })]);
  });
  read[field.name] = function () {
    const found = panel.querySelector("input[name='ask-" + field.name + "']:checked");
    return found ? field.options[found.value][0] : undefined;
  };
  return make("fieldset", {}, [make("legend", { text: field.label })].concat(rows));
}
