// The bench: what is shown is what the server says; what is done is asked of it and shown when it has been done.

import { Device, Finding, Panel, State, Wiring, get, post } from "./data";
import { Board, LAYERS, round } from "./board";
import { Layers, PANEL_LAYERS } from "./layers";
import { Compare, showPane } from "./panes";
import { by, button, heading, note, row, say, sayError, select } from "./parts";
import { Place, byDevice, items, place } from "./findings";
import { Best, small } from "./best";
import { Places } from "./places";
import { remedies } from "./remedies";
import { Shelf } from "./shelf";
import { Shown } from "./shown";
import { Wires } from "./wires";
import { Zones } from "./zones";
import { kept } from "./focus";
import { Laying } from "./laying";
import { sayAll, t, word } from "./words";
import "./bench.css";

const CARD_MM = 85.6;
const LINES = ["left", "right", "top", "bottom", "centre", "middle"];

let state: State;
let sheet = "";
let wiring: Wiring | null = null;
let busy = false;
let paned = "";         // which of the other sheets stands there, of which version
const OTHERS: [string, string][] = [["wires", t`Wires`], ["energy", t`Energy`], ["network", t`Network`], ["compare", t`Compare`]];

const board = new Board(by("paper"), {
  choose: (ids) => { if (ids.join() !== board.chosen.join()) places.clear(); board.chosen = ids; show(); },
  move: (id, x, y) => void act({ do: "move", device: id, x, y }),
  turn: (id) => { const device = found(id); if (device) void act({ do: "turn", device: id, turn: after(device) }); },
  pin: (id) => { const device = found(id); if (device) void act({ do: device.pinned ? "unpin" : "pin", device: id }); },
  said: (findings) => list(findings.length ? findings : state.findings, findings.length ? "here" : ""),
  held: (device) => void places.hold(device),
});
board.extras.push(new Layers(board.shown, () => board.view));
const zones = new Zones(board, by("paper"), (zone) => void act({ do: "zone", ...zone }), (key) => void act({ do: "remove zone", key }), () => show());
const laying = new Laying(by<HTMLDialogElement>("laying"), (panel, file, points) => void act({ do: "photograph", panel, file, points }), (panel) => void act({ do: "remove photograph", panel }));
const compare = new Compare();
const best = new Best(by("best"), () => current()?.id ?? "");
const places = new Places(board, (device, at) => void stand(device, at.panel, at.x, at.y, at.turn), () => show());
const shelf = new Shelf(by("waiting"), by("forms"), {
  choose: (id) => { board.chosen = [id]; places.clear(); show(); void places.light(id); },
  drop: (id, at) => { const panel = current(); if (panel) void stand(id, panel.id, ...board.point(at), state.waiting.find((one) => one.id === id)?.turn ?? 0); },
  add: (device) => void act({ do: "add", device }),
});
const shown = new Shown(board, () => sheet, () => placing());
const wires = new Wires(by("wires"), {
  load: (circuit, value) => void act({ do: "load", circuit, value }),
  fuse: (key, value) => void act({ do: "fuse", key, value }),
  show: (device) => go({ sheet: panelOf(device) ?? sheet, devices: [device], wires: [], wireways: [] }),
});

const found = (id: string): Device | undefined => state.panels.flatMap((panel) => panel.devices).find((one) => one.id === id);
const after = (device: Device): number => device.turns[(device.turns.indexOf(device.turn) + 1) % device.turns.length];
const current = (): Panel | null => state.panels.find((panel) => panel.id === sheet) ?? state.panels[0] ?? null;

let line = Promise.resolve();  // what was asked for, done one after another: nothing is lost because another thing is under way

function act(what: Record<string, unknown>): Promise<void> {
  line = line.catch(() => undefined).then(() => done(what));
  return line;
}

async function done(what: Record<string, unknown>): Promise<void> {
  busy = true;
  try {
    take(await post<State>("do", { ...what, version: state.version }));
  } catch (error) {
    sayError(error);
    await renew();
  } finally { busy = false; }
}

async function stand(device: string, panel: string, x: number, y: number, turn: number): Promise<void> {
  await act({ do: "stand", device, panel, x: round(x), y: round(y), turn });
  if (!found(device)) return;
  sheet = panel;
  board.chosen = [device];
  show();
}

async function renew(): Promise<void> {
  try { take(await get<State>("state")); } catch (error) { sayError(error); }
}

function take(told: State): void {
  if (told.language !== document.documentElement.lang) { location.reload(); return; }  // the page is laid out in one language
  if (state && told.version !== state.version) { shown.end(); places.clear(); }
  state = told;
  wiring = null;
  if (!OTHERS.some(([id]) => id === sheet) && !state.panels.some((panel) => panel.id === sheet)) sheet = state.panels[0]?.id ?? "";
  board.findings = byDevice(state.findings);
  show();
}

function show(): void { kept(made); }

function made(): void {
  by("name").textContent = state.example ? t`${state.name} (invented)` : state.name;
  tabs();
  const other = OTHERS.some(([id]) => id === sheet);
  by("paper").hidden = by("drawn").hidden = other;
  by("wires").hidden = sheet !== "wires";
  by("pane").hidden = !other || sheet === "wires";
  if (sheet === "wires") void showWires(); else if (!other) board.show(current()); else if (paned !== `${sheet} ${state.version}`) void showOther();
  by("zones").setAttribute("aria-pressed", String(zones.drawing));
  for (const [id, words] of [["undo", state.undo], ["redo", state.redo]] as const) {
    by<HTMLButtonElement>(id).disabled = !words && !(id === "undo" && !state.kept);
    by(id).title = words ?? "";
    by(id).textContent = (id === "undo" ? t`Take back` : t`Do again`) + (words ? `: ${words}` : "");
  }
  by("kept").textContent = !state.chosen && state.kept ? t`Nothing is placed yet: place it all, or take devices from the shelf.` : state.kept ? "" : t`Not kept yet: a rule is broken. Move on, or put everything back.`;
  by("kept").className = state.kept ? "" : "loose";
  shelf.show(state, board.chosen);
  card();
  list(state.findings, "");
  placing();
  block();
}

async function showOther(): Promise<void> {
  paned = `${sheet} ${state.version}`;
  by("pane").replaceChildren();
  if (sheet === "compare") await compare.show(by("pane")); else await showPane(by("pane"), sheet);
}

function tabs(): void {
  const made = [...state.panels.map((panel) => [panel.id, panel.name]), ...OTHERS].map(([id, name]) => {
    const button = document.createElement("button");
    button.textContent = name;
    if (id === sheet) button.setAttribute("aria-current", "page");
    button.addEventListener("click", () => { shown.end(); sheet = id; board.chosen = []; show(); });
    return button;
  });
  by("sheets").replaceChildren(...made);
}

async function showWires(): Promise<void> {
  try {
    wiring ??= await get<Wiring>("wiring");
    wires.show(wiring);
    list(wiring.findings, "");
  } catch (error) { sayError(error); }
}

function block(): void {
  const told: [string, string][] = [[t`Revision`, state.revision], [t`Wishes cost`, state.cost.toFixed(1)], [t`Proof`, state.proof || t`none`]];
  by("block").replaceChildren(...told.map(([title, text]) => {
    const part = document.createElement("span");
    part.innerHTML = "<small></small>";
    part.firstElementChild!.textContent = title;
    part.append(text);
    return part;
  }));
}

function card(): void {
  const devices = board.chosen.map(found).filter((one): one is Device => !!one);
  const into = by("card");
  into.replaceChildren();
  if (!state.kept) into.append(row(button(t`Put everything back`, () => void act({ do: "put back" }))));
  const panel = current();
  if (zones.drawing && panel) into.append(...zones.card(panel));
  const waits = state.waiting.find((one) => one.id === board.chosen[0]);
  if (waits) into.append(heading(waits.name), ...fitting(waits.id));
  if (!devices.length) return;
  into.append(heading(devices.length === 1 ? devices[0].name : t`${devices.length} chosen`));
  if (devices.length === 1) single(into, devices[0]); else several(into, devices);
  const told = devices.length === 1 ? board.findings.get(devices[0].id) ?? [] : [];
  if (told.length) {
    const list = document.createElement("ol");
    list.className = "findings";
    list.append(...items(told, point));
    into.append(list);
  }
}

function single(into: HTMLElement, device: Device): void {
  const place = (["x", "y"] as const).map((axis) => {
    const label = document.createElement("label");
    const field = document.createElement("input");
    field.type = "number";
    field.step = "0.5";
    field.value = String(round(device[axis]));
    field.disabled = device.cut;
    field.addEventListener("change", () => void act({ do: "move", device: device.id, x: axis === "x" ? Number(field.value) : device.x, y: axis === "y" ? Number(field.value) : device.y }));
    label.append(`${axis.toUpperCase()} `, field, " mm");
    return label;
  });
  into.append(row(...place));
  const more: HTMLElement[] = [];
  if (device.turns.length > 1) more.push(button(t`Turn to ${after(device)}°`, () => void act({ do: "turn", device: device.id, turn: after(device) }), "t"));
  more.push(button(device.pinned ? t`Unpin` : t`Pin here`, () => void act({ do: device.pinned ? "unpin" : "pin", device: device.id }), "p"));
  into.append(row(...more));
  if (!device.cut) into.append(...fitting(device.id));
  const others = (current()?.devices ?? []).filter((one) => one.id !== device.id);
  if (others.length) {
    const line = select(LINES, LINES.map(word));
    const to = select(others.map((one) => one.id), others.map((one) => one.name));
    line.setAttribute("aria-label", t`Line`);
    to.setAttribute("aria-label", t`Other device`);
    into.append(row(line, to, button(t`Align`, () => void act({ do: "align", devices: [device.id], line: line.value, to: to.value })), button(t`Swap`, () => void act({ do: "swap", device: device.id, other: to.value }))));
  }
  if (device.cut) into.append(note(t`Its hole is cut, so it stays.`));
  else into.append(note(t`Arrow keys: 1 mm, with Shift 10 mm. Alt while dragging: no snapping. Shift and Enter choose one more; + and − draw nearer and farther.`));
}

/** Where else a device would fit, asked for and shown. */
function fitting(device: string): HTMLElement[] {
  const ask = button(t`Where would it fit?`, () => void places.light(device));
  ask.setAttribute("aria-pressed", String(places.are(device)));
  return [row(ask), ...(places.are(device) ? [row(...places.buttons(state))] : [])];
}

function several(into: HTMLElement, devices: Device[]): void {
  const ids = devices.map((one) => one.id);
  const line = select(LINES, LINES.map(word));
  line.setAttribute("aria-label", t`Line`);
  into.append(row(line, button(t`Align to ${devices[0].name}`, () => void act({ do: "align", devices: ids.slice(1), line: line.value, to: ids[0] }))));
  if (devices.length === 2) into.append(row(button(t`Swap`, () => void act({ do: "swap", device: ids[0], other: ids[1] }))));
  else into.append(row(button(t`Even gaps across`, () => void act({ do: "distribute", devices: ids, axis: "x" })), button(t`Even gaps up`, () => void act({ do: "distribute", devices: ids, axis: "y" }))));
}

function list(findings: Finding[], where: string): void {
  const told = findings.filter((finding) => finding.severity !== "note" || where);
  const stops = told.filter((finding) => finding.severity === "stop").length;
  by("count").textContent = told.length ? t`${stops} stop, ${told.length - stops} to look at` : t`— nothing`;
  by("findings").replaceChildren(...items(told.slice(0, 60), point));
}

function point(finding: Finding): void {
  const to = place(finding, state);
  if (to) go(to); else say(finding.at.file ? t`${finding.at.file}, line ${finding.at.line}` : finding.message);
}

const panelOf = (device: string): string | undefined => state.panels.find((panel) => panel.devices.some((one) => one.id === device))?.id;

function go(to: Place): void {
  shown.end();
  sheet = to.sheet;
  board.chosen = to.devices;
  wires.choose(to.wires, to.wireways);
  show();
}

const going = (words: string, waiting: number): string => waiting ? t`${words}; ${waiting} more after it` : words;

function placing(): void {
  const solving = state.solving;
  const goes = !!solving && !solving.ended;
  by("solve").textContent = goes ? t`Place after this one` : t`Place`;
  by("stop").hidden = !goes;
  by("solving").textContent = !solving ? "" : solving.ended ? (solving.found ? t`${solving.found} found; choose one.` : t`Nothing was found that fits.`) : going(solving.words, solving.waiting);
  remedies(by("remedies"), solving, shown, (number) => void act({ do: "remedy", number }));
  by("proposals").replaceChildren(...state.proposals.map((proposal) => {
    const press = button("", () => void act({ do: "choose", number: proposal.number }));
    press.setAttribute("aria-label", t`Take arrangement ${proposal.number}, its wishes cost ${proposal.cost.toFixed(1)}`);
    press.append(`${proposal.number}: ${proposal.cost.toFixed(1)}`);
    void proposed(press, proposal.number);
    return press;
  }));
}

async function proposed(into: HTMLElement, number: number): Promise<void> {
  try {
    const picture = small((await get<{ panels: Panel[] }>(`proposal/${number}`)).panels, current()?.id ?? "");
    if (picture) into.append(picture);
  } catch { /* its number says enough */ }
}

function listen(): void {
  const events = new EventSource("api/events");
  events.onmessage = (event) => {
    const told = JSON.parse(event.data) as { version: number; solving: { words: string; ended: boolean; waiting: number; pictures: number } | null; refused: string | null };
    if (told.refused) { say(t`Not read as it is now: ${told.refused}`); return; }
    if (!state || busy) return;
    void best.follow(told.solving && !told.solving.ended ? told.solving.pictures : 0);
    const ended = told.solving?.ended && !state.solving?.ended;
    if (told.version !== state.version || ended || told.solving?.waiting !== state.solving?.waiting) void renew();
    else if (told.solving && state.solving && !told.solving.ended) { state.solving.words = told.solving.words; by("solving").textContent = going(told.solving.words, told.solving.waiting); }
    else if (told.solving && !state.solving) void renew();
  };
}

function begin(): void {
  sayAll(document.body);
  by("layers").replaceChildren(...[...LAYERS, ...PANEL_LAYERS].map(([id, name]) => {
    const label = document.createElement("label");
    const box = document.createElement("input");
    box.type = "checkbox";
    box.checked = board.shown.has(id);
    box.addEventListener("change", () => { if (box.checked) board.shown.add(id); else board.shown.delete(id); board.draw(); });
    label.append(box, ` ${word(name)}`);
    return label;
  }));
  for (const side of ["front", "rear"] as const) by(side).addEventListener("click", () => {
    board.side = side;
    if (side === "rear") board.shown.add("behind");
    for (const other of ["front", "rear"]) by(other).setAttribute("aria-pressed", String(other === side));
    board.draw();
  });
  by("zones").addEventListener("click", () => zones.toggle());
  by("lay").addEventListener("click", () => { const panel = current(); if (panel) void laying.open(panel); });
  by("more").addEventListener("toggle", () => void shelf.open());
  by("fit").addEventListener("click", () => board.fit());
  by("several").addEventListener("click", () => {
    board.several = !board.several;
    by("several").setAttribute("aria-pressed", String(board.several));
  });
  by("true").addEventListener("click", trueSize);
  by("undo").addEventListener("click", () => void act({ do: "undo" }));
  by("redo").addEventListener("click", () => void act({ do: "redo" }));
  by("solve").addEventListener("click", () => {
    const all = state.panels.flatMap((panel) => panel.devices.map((one) => one.id));
    const keep = by<HTMLInputElement>("around").checked ? all.filter((id) => !board.chosen.includes(id)) : [];
    void act({ do: "solve", effort: by<HTMLSelectElement>("effort").value, keep, alternatives: Number(by<HTMLSelectElement>("many").value) });
  });
  by("stop").addEventListener("click", () => void act({ do: "stop" }));
  window.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.target instanceof HTMLInputElement) return;
    if (event.key === "z") { event.preventDefault(); void act({ do: event.shiftKey ? "redo" : "undo" }); }
    if (event.key === "y") { event.preventDefault(); void act({ do: "redo" }); }
  });
  const books: [string, string][] = [["workshop", t`Workshop book: template, drilling, order of work`], ["electrician", t`Electrician's book`], ["shopping", t`Shopping list`], ["reckoning", t`Reckoning: sizes, energy, findings`]];
  by("documents").replaceChildren(...books.map(([name, words]) => {
    const item = document.createElement("li");
    const link = document.createElement("a");
    link.href = `api/document/${name}.pdf`;
    link.target = "_blank";
    link.textContent = words;
    item.append(link);
    return item;
  }));
  const light = by<HTMLSelectElement>("light");
  light.value = localStorage.getItem("spile light") ?? "";
  const lit = (): void => { if (light.value) document.documentElement.dataset.light = light.value; else delete document.documentElement.dataset.light; localStorage.setItem("spile light", light.value); };
  light.addEventListener("change", lit);
  lit();
  void renew().then(listen);
}

function trueSize(): void {
  const dialog = by<HTMLDialogElement>("card-size");
  const width = by<HTMLInputElement>("card-width");
  width.value = localStorage.getItem("spile card px") ?? String(Math.round((CARD_MM / 25.4) * 96));
  const bar = (): void => { by("card-bar").style.width = `${width.value}px`; };
  width.oninput = bar;
  bar();
  dialog.onclose = () => { localStorage.setItem("spile card px", width.value); board.trueSize(Number(width.value) / CARD_MM); };
  dialog.showModal();
}

begin();
