"use strict";
// Tables sort and filter; what is chosen lights up wherever it is shown. The page is whole without this.
const NOT_KNOWN = "?";
const FEW = 15; // rows that need no filter
const byId = (id) => document.getElementById(id);
// The page's own words, in the project's language: each {} is the next value, {1} the second.
const filled = (words, ...values) => {
  let next = 0;
  return byId("lit").dataset[words].replace(/\{(\d*)\}/g, (_, at) => values[at === "" ? next++ : Number(at)]);
};

function compare(a, b) {
  if (a === b) return 0;
  if (a === "" || a === NOT_KNOWN) return 1; // what is not known or does not apply comes last, either way up
  if (b === "" || b === NOT_KNOWN) return -1;
  const x = Number(a), y = Number(b);
  if (!Number.isNaN(x) && !Number.isNaN(y)) return x - y;
  return a.localeCompare(b, undefined, { numeric: true });
}

function sort(table, heading) {
  const down = heading.getAttribute("aria-sort") === "ascending";
  for (const other of table.tHead.rows[0].cells) other.removeAttribute("aria-sort");
  heading.setAttribute("aria-sort", down ? "descending" : "ascending");
  const column = heading.cellIndex;
  const known = (text) => text !== "" && text !== NOT_KNOWN;
  const rows = [...table.tBodies[0].rows].map((row) => [row.cells[column].textContent.trim(), row]);
  rows.sort(([a], [b]) => compare(a, b) * (down && known(a) && known(b) ? -1 : 1));
  table.tBodies[0].append(...rows.map(([, row]) => row));
}

function prepare(table) {
  for (const heading of table.tHead.rows[0].cells) {
    const button = document.createElement("button");
    button.type = "button";
    button.append(...heading.childNodes);
    heading.append(button);
    button.addEventListener("click", () => sort(table, heading));
  }
  const rows = [...table.tBodies[0].rows];
  if (rows.length < FEW) return;
  const tools = document.createElement("div"), label = document.createElement("label");
  const input = document.createElement("input"), count = document.createElement("output");
  tools.className = "tools";
  input.type = "search";
  label.append(byId("lit").dataset.only, input);
  tools.append(label, count);
  table.closest(".scroll").before(tools);
  const texts = new Map(rows.map((row) => [row, [...row.cells].map((cell) => cell.textContent).join(" ").toLowerCase()]));
  input.addEventListener("input", () => {
    const words = input.value.toLowerCase().split(/\s+/).filter(Boolean);
    let left = 0;
    for (const row of rows) {
      row.hidden = !words.every((word) => texts.get(row).includes(word));
      if (!row.hidden) left += 1;
    }
    count.textContent = words.length ? filled("of", left, rows.length) : "";
  });
}

const shown = new Map();
for (const part of document.querySelectorAll("svg [data-subject]")) {
  const subject = part.dataset.subject;
  shown.set(subject, [...(shown.get(subject) ?? []), part]);
}
let lit = [], next = 0;

function putOut() {
  for (const part of lit) part.classList.remove("lit");
  lit = [];
  byId("lit").hidden = true;
}

function light(subjects, name) {
  putOut();
  lit = subjects.flatMap((subject) => shown.get(subject) ?? []);
  const wires = new Set(subjects);
  for (const button of document.querySelectorAll("tbody button[data-light]")) {
    if (button.dataset.light.split(" ").every((subject) => wires.has(subject))) lit.push(button.closest("tr"));
  }
  for (const part of lit) part.classList.add("lit");
  next = 0;
  byId("lit-name").textContent = filled("lit", name);
  byId("lit").hidden = false;
}

function open(element) {
  for (let at = element; at; at = at.parentElement) if (at.tagName === "DETAILS") at.open = true;
}

function showNext() {
  if (!lit.length) return;
  const place = lit[next % lit.length];
  next += 1;
  open(place);
  place.scrollIntoView({ block: "center", inline: "center" });
}

function showTarget() {
  const target = byId(decodeURIComponent(location.hash.slice(1)));
  if (!target) return;
  open(target);
  target.scrollIntoView();
}

document.addEventListener("click", (event) => {
  const chosen = event.target.closest("[data-light]");
  if (chosen) light(chosen.dataset.light.split(" "), chosen.dataset.name ?? chosen.textContent);
  const device = event.target.closest(".panel .device");
  if (device) document.querySelector(`a[data-light~="${CSS.escape(device.dataset.subject)}"]`)?.click();
});
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape") putOut();
});
byId("lit-next").addEventListener("click", showNext);
byId("lit-out").addEventListener("click", putOut);
addEventListener("hashchange", showTarget);
for (const table of document.querySelectorAll("table.list")) prepare(table);
showTarget();
