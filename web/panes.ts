// Sheets of lists beside the panels: the day's energy, the networks, and two sides compared, laid over each other.

import { svg } from "./board";
import { Comparison, Panel, Table, get, post } from "./data";
import { button, heading, note, paragraph, row, sayError, select } from "./parts";
import { t, word } from "./words";

export function tables(told: Table[]): HTMLElement[] {
  return told.flatMap((table) => {
    const frame = document.createElement("div");
    frame.className = "list";
    frame.tabIndex = 0;
    frame.setAttribute("role", "region");
    frame.setAttribute("aria-label", table.title);
    const made = document.createElement("table");
    const head = made.createTHead().insertRow();
    for (const title of table.columns) { const cell = document.createElement("th"); cell.scope = "col"; cell.textContent = title; head.append(cell); }
    const body = made.createTBody();
    table.rows.forEach((cells, at) => {
      const line = body.insertRow();
      if (table.faulty.includes(at)) line.className = "over";
      for (const text of cells) line.insertCell().textContent = text;
    });
    frame.append(made);
    return [heading(table.title), frame, ...table.notes.map(note)];
  });
}

export async function showPane(into: HTMLElement, name: string): Promise<void> {
  try {
    const told = await get<{ tables: Table[] }>(`pane/${name}`);
    into.replaceChildren(...tables(told.tables));
    if (!told.tables.length) into.append(paragraph(name === "energy" ? t`Nothing is said of energy yet.` : t`There is no network yet.`));
  } catch (error) { sayError(error); }
}

export class Compare {
  private first = "before";
  private second = "now";

  async show(into: HTMLElement): Promise<void> {
    try {
      const { sides } = await get<{ sides: { name: string; words: string }[] }>("sides");
      const names = sides.map((side) => side.name);
      const [a, b] = [select(names, sides.map((side) => side.words)), select(names, sides.map((side) => side.words))];
      const known = names.includes(this.first) && names.includes(this.second);
      [a.value, b.value] = known ? [this.first, this.second] : ["iso", "abyc"];
      a.setAttribute("aria-label", t`First side`);
      b.setAttribute("aria-label", t`Second side`);
      const result = document.createElement("div");
      const words = (name: string): string => sides.find((side) => side.name === name)?.words ?? name;
      const go = button(t`Lay over each other`, () => {
        [this.first, this.second] = [a.value, b.value];
        result.replaceChildren(paragraph(t`Working it out …`));
        void this.result(result, words(a.value), words(b.value));
      });
      into.replaceChildren(row(a, ` ${t`and`} `, b, go), result);
    } catch (error) { sayError(error); }
  }

  private async result(into: HTMLElement, a: string, b: string): Promise<void> {
    try {
      const told = await post<Comparison>("compare", { first: this.first, second: this.second });
      const [old, now] = told.pictures;
      const changes = told.changes.map((one) => [one.what, one.id, one.change, String(one.before ?? ""), String(one.now ?? "")]);
      const lists: Table[] = [{ title: t`What differs`, columns: [t`what`, t`which`, t`change`, a, b], rows: changes, faulty: [], notes: changes.length ? [] : [t`Nothing differs.`] }];
      const labels = told.labels_to_print_again;
      if (labels?.length) lists.push({ title: t`Labels to print again`, columns: [t`wire`, a, b], rows: labels.map((one) => [one.wire, one.before, one.now]), faulty: [], notes: [] });
      for (const [findings, words] of [[told.findings_of_the_first_alone, a], [told.findings_of_the_second_alone, b]] as const) {
        if (findings?.length) lists.push({ title: t`Only ${words}`, columns: [t`rule`, t`finding`], rows: findings.map((one) => [`${word(one.severity)} ${one.rule}`, one.message]), faulty: [], notes: [] });
      }
      const pictures = old && now ? old.map((panel) => overlay(panel, now.find((one) => one.id === panel.id) ?? panel, a, b)) : [];
      into.replaceChildren(...pictures, ...tables(lists));
    } catch (error) { into.replaceChildren(); sayError(error); }
  }
}

/** Two states of a panel in one picture: the first in lines, the second dashed, and a stroke from place to place. */
function overlay(old: Panel, now: Panel, a: string, b: string): HTMLElement {
  const [x0, y0, x1, y1] = old.box;
  const middle = (box: number[]): [number, number] => [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2];
  const moved = now.devices.filter((device) => { const was = old.devices.find((one) => one.id === device.id); return !was || was.x !== device.x || was.y !== device.y || was.turn !== device.turn; });
  const picture = svg("svg", { viewBox: `${x0 - 10} ${-y1 - 10} ${x1 - x0 + 20} ${y1 - y0 + 20}`, role: "img", "aria-label": t`${old.name}: ${moved.length} of ${now.devices.length} devices stand elsewhere` });
  const sheet = svg("g", { transform: "scale(1 -1)" });
  sheet.append(svg("path", { class: "outline", d: old.outline }), ...old.devices.map((one) => svg("path", { class: "face", d: one.face })));
  for (const device of moved) {
    const was = old.devices.find((one) => one.id === device.id);
    sheet.append(svg("path", { class: "second", d: device.face }));
    if (was) { const [p, q] = [middle(was.box), middle(device.box)]; sheet.append(svg("line", { class: "second", x1: p[0], y1: p[1], x2: q[0], y2: q[1] })); }
    const [x, y] = middle(device.box);
    sheet.append(svg("text", { class: "layer", transform: `translate(${x} ${y}) scale(1 -1)`, "font-size": 11 }, device.name));
  }
  picture.append(sheet);
  const figure = document.createElement("figure");
  const words = document.createElement("figcaption");
  words.textContent = t`${old.name}: in lines ${a}; dashed ${b}. ${moved.length} of ${now.devices.length} devices stand elsewhere.`;
  figure.append(picture, words);
  return figure;
}
