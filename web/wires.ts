// The wires: every run as a row, and the boat's wireways as a map on which a chosen run lights its way.

import { Box, Run, Wiring } from "./data";
import { svg } from "./board";
import { kept } from "./focus";

export interface WireActs { set(key: string, value: string): void }

const COLUMNS: [keyof Run, string][] = [
  ["number", "No."], ["name", "Circuit or feeder"], ["from", "From"], ["to", "To"], ["current_a", "A"], ["fuse_a", "Fuse A"],
  ["size", "Size"], ["length_m", "m"], ["drop_percent", "Drop %"],
];

export class Wires {
  private chosen = "";
  constructor(private into: HTMLElement, private acts: WireActs) {}

  show(wiring: Wiring): void {
    kept(() => this.into.replaceChildren(this.map(wiring), this.table(wiring)));
  }

  private map(wiring: Wiring): SVGElement {
    const run = wiring.runs.find((one) => one.key === this.chosen);
    const lit = new Set(run?.route ?? []);
    const spots = spread(wiring);
    const picture = svg("svg", { viewBox: "0 0 640 300", role: "img", "aria-label": run ? `Way of ${run.number} ${run.name}: ${run.route.join(", ")}` : "Wireways of the boat" });
    for (const way of wiring.wireways) {
      const [a, b] = [spots.get(way.from), spots.get(way.to)];
      if (!a || !b) continue;
      const line = svg("path", { class: lit.has(way.id) ? "way lit" : "way", d: `M${a[0]} ${a[1]}L${b[0]} ${b[1]}` });
      line.append(svg("title", {}, `${way.name}${way.fill !== null ? `, ${way.fill.toFixed(0)} % full` : ""}`));
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
      if (run.key === this.chosen) row.className = "chosen";
      for (const [key] of COLUMNS) {
        const cell = row.insertCell();
        const value = run[key];
        const text = value === null ? (key === "fuse_a" ? "" : "?") : typeof value === "number" ? String(Math.round(value * 100) / 100) : String(value);
        if (key === "name") {
          const button = document.createElement("button");
          button.textContent = text;
          button.addEventListener("click", () => { this.chosen = this.chosen === run.key ? "" : run.key; this.show(wiring); });
          cell.append(button);
        } else if (key === "current_a" && /^circuits\.[^:]+$/.test(run.key)) {
          const button = document.createElement("button");
          button.textContent = text;
          button.setAttribute("aria-label", `Load of ${run.name}, ${text} A; change it`);
          button.addEventListener("click", () => this.ask(cell, run));
          cell.append(button);
        } else cell.textContent = text;
        if (key === "drop_percent" && run.limit_percent !== null && run.drop_percent !== null && run.drop_percent > run.limit_percent + 0.005) cell.className = "over";
      }
    }
    return table;
  }

  private ask(cell: HTMLElement, run: Run): void {
    const field = document.createElement("input");
    field.value = run.current_a === null ? "" : `${Math.round(run.current_a * 100) / 100} A`;
    field.setAttribute("aria-label", `Load of ${run.name}`);
    field.size = 7;
    let done = false;
    const end = (keep: boolean): void => {
      if (done) return;
      done = true;
      if (keep && field.value.trim()) this.acts.set(`${run.key}.load`, field.value.trim());
      else cell.textContent = run.current_a === null ? "?" : String(run.current_a);
    };
    field.addEventListener("keydown", (event) => { if (event.key === "Enter") end(true); if (event.key === "Escape") end(false); });
    field.addEventListener("blur", () => end(false));
    cell.replaceChildren(field);
    field.focus();
    field.select();
  }
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
