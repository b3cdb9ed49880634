// The wires: every run as a row, and the boat's wireways as a map on which a chosen run lights its way.

import { Box, Run, Wiring } from "./data";
import { svg } from "./board";
import { kept } from "./focus";
import { button } from "./parts";
import { t } from "./words";

export interface WireActs {
  load(circuit: string, value: string): void;
  fuse(key: string, value: string): void;
  show(device: string): void;
}

type Column = "number" | "name" | "from" | "to" | "current_a" | "fuse_a" | "size" | "length_m" | "drop_percent";
const COLUMNS: [Column, string][] = [
  ["number", t`No.`], ["name", t`Circuit or feeder`], ["from", t`From`], ["to", t`To`], ["current_a", "A"], ["fuse_a", t`Fuse A`],
  ["size", t`Size`], ["length_m", "m"], ["drop_percent", t`Drop %`],
];

export class Wires {
  private chosen: string[] = [];
  private ways: string[] = [];
  constructor(private into: HTMLElement, private acts: WireActs) {}

  show(wiring: Wiring): void {
    const schedule = document.createElement("div");
    schedule.className = "schedule";
    schedule.tabIndex = 0;
    schedule.setAttribute("role", "region");
    schedule.setAttribute("aria-label", t`Wires`);
    const before = this.into.querySelector(".schedule")?.scrollTop ?? 0;
    schedule.append(this.table(wiring));
    kept(() => this.into.replaceChildren(this.map(wiring), schedule));
    schedule.scrollTop = before;
    this.into.querySelector("tr.chosen")?.scrollIntoView({ block: "nearest" });
  }

  /** Light runs, by their keys or those of their circuit or feeder, and wireways. */
  choose(runs: string[], ways: string[]): void { this.chosen = runs; this.ways = ways; }

  private isChosen(run: Run): boolean { return this.chosen.some((key) => run.key === key || run.key.startsWith(`${key}:`)); }

  private map(wiring: Wiring): SVGElement {
    const runs = wiring.runs.filter((one) => this.isChosen(one));
    const lit = new Set([...this.ways, ...runs.flatMap((run) => run.route)]);
    const run = runs[0];
    const spots = spread(wiring);
    const picture = svg("svg", { viewBox: "0 0 640 300", role: "img", "aria-label": run ? t`Way of ${run.number} ${run.name}: ${run.route.join(", ")}` : t`Wireways of the boat` });
    for (const way of wiring.wireways) {
      const [a, b] = [spots.get(way.from), spots.get(way.to)];
      if (!a || !b) continue;
      const line = svg("path", { class: ["way", lit.has(way.id) ? "lit" : "", way.fill !== null && way.limit !== null && way.fill > way.limit ? "over" : ""].filter(Boolean).join(" "), d: `M${a[0]} ${a[1]}L${b[0]} ${b[1]}` });
      line.append(svg("title", {}, way.fill !== null ? t`${way.name}, ${way.fill.toFixed(0)} % full` : way.name));
      picture.append(line);
    }
    const taken: Box[] = [...spots.values()].map(([x, y]) => [x - 5, y - 5, x + 5, y + 5]);
    for (const place of wiring.places) {
      const at = spots.get(place.id);
      if (!at) continue;
      picture.append(svg("circle", { class: "place", cx: at[0], cy: at[1], r: 5 }));
      picture.append(label(place.name, at, taken));
    }
    return picture;
  }

  private table(wiring: Wiring): HTMLElement {
    const table = document.createElement("table");
    const head = table.createTHead().insertRow();
    for (const [, title] of COLUMNS) { const cell = document.createElement("th"); cell.scope = "col"; cell.textContent = title; head.append(cell); }
    const body = table.createTBody();
    for (const run of wiring.runs) {
      const row = body.insertRow();
      if (this.isChosen(run)) row.className = "chosen";
      for (const [key] of COLUMNS) {
        const cell = row.insertCell();
        const end = key === "from" ? run.ends[0] : key === "to" ? run.ends[1] : null;
        const text = end ? end.name : figure(run, key);
        const device = end?.device;
        if (key === "name") {
          const press = button(text, () => { this.choose(this.isChosen(run) ? [] : [run.key], []); this.show(wiring); });
          press.setAttribute("aria-pressed", String(this.isChosen(run)));
          cell.append(press);
        } else if (device) {
          const press = button(text, () => this.acts.show(device));
          press.title = t`show it on its panel`;
          cell.append(press);
        } else if (key === "current_a" && run.circuit) this.figure(cell, text, t`Load of ${run.name}`, (value) => this.acts.load(run.circuit, value));
        else if (key === "fuse_a" && run.fuse) this.figure(cell, text || "?", t`Fuse of ${run.name}`, (value) => this.acts.fuse(run.fuse, value));
        else cell.textContent = text;
        if (key === "drop_percent" && run.limit_percent !== null && run.drop_percent !== null && run.drop_percent > run.limit_percent + 0.005) cell.className = "over";
      }
    }
    return table;
  }

  /** A figure that is pressed to change it: Enter keeps, Escape leaves it. */
  private figure(cell: HTMLElement, text: string, what: string, set: (value: string) => void): void {
    const press = button(text, () => {
      const field = document.createElement("input");
      field.value = text === "?" ? "" : `${text} A`;
      field.setAttribute("aria-label", what);
      field.size = 7;
      let done = false;
      const end = (keep: boolean): void => {
        if (done) return;
        done = true;
        if (keep && field.value.trim() && field.value !== `${text} A`) set(field.value.trim());
        cell.replaceChildren(press);
        if (keep || document.activeElement === document.body) press.focus();
      };
      field.addEventListener("keydown", (event) => { if (event.key === "Enter") end(true); if (event.key === "Escape") end(false); });
      field.addEventListener("blur", () => end(false));
      cell.replaceChildren(field);
      field.focus();
      field.select();
    });
    press.setAttribute("aria-label", t`${what}, ${text} A; change it`);
    cell.append(press);
  }
}

function figure(run: Run, key: Column): string {
  const value = key === "from" || key === "to" ? "" : run[key];
  if (value === null) return key === "fuse_a" ? "" : "?";
  return typeof value === "number" ? String(Math.round(value * 100) / 100) : value;
}

/** A place's name beside its dot, where nothing else stands yet. */
function label(words: string, at: [number, number], taken: Box[]): SVGElement {
  const w = words.length * 5.6;
  const tries: [number, number][] = [[8, -7], [8, 14], [-w - 8, -7], [-w - 8, 14], [-w / 2, 22], [-w / 2, -14], [8, -20], [8, 28], [-w - 8, 28], [-w - 8, -20]];
  const box = ([dx, dy]: [number, number]): Box => [at[0] + dx, at[1] + dy - 10, at[0] + dx + w, at[1] + dy + 2];
  const free = (one: Box): boolean => one[0] >= 0 && one[2] <= 640 && one[1] >= 0 && one[3] <= 300 && taken.every((other) => one[0] > other[2] || one[2] < other[0] || one[1] > other[3] || one[3] < other[1]);
  const by = tries.find((one) => free(box(one))) ?? tries[0];
  taken.push(box(by));
  return svg("text", { x: at[0] + by[0], y: at[1] + by[1] }, words);
}

/** Places where the file says where they are; the others round about. */
function spread(wiring: Wiring): Map<string, [number, number]> {
  const known = wiring.places.filter((place) => place.at && place.at.length >= 2);
  const spots = new Map<string, [number, number]>();
  if (known.length >= 2) {
    const xs = known.map((place) => place.at![0]);
    const ys = known.map((place) => place.at![2] ?? place.at![1]);
    const scale = (v: number, all: number[], low: number, high: number): number => {
      const [least, most] = [Math.min(...all), Math.max(...all)];
      return most - least < 1 ? (low + high) / 2 : low + ((v - least) / (most - least)) * (high - low);
    };
    known.forEach((place, at) => spots.set(place.id, [scale(xs[at], xs, 50, 540), scale(ys[at], ys, 270, 40)]));
  }
  const others = wiring.places.filter((place) => !spots.has(place.id));
  others.forEach((place, at) => {
    const turn = (2 * Math.PI * at) / Math.max(others.length, 1);
    spots.set(place.id, [320 + 230 * Math.cos(turn), 150 + 110 * Math.sin(turn)]);
  });
  return spots;
}
