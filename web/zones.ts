// Zones drawn on the panel: a rectangle pulled open with the pointer, or given by figures; and taken out again.

import { Board, svg } from "./board";
import { Panel } from "./data";
import { button, by, heading, row, select } from "./parts";
import { t, word } from "./words";

export interface Drawn { kind: string; panel: string; x0: number; y0: number; x1: number; y1: number; name: string; layer: string }

const SHEETS = ["all", "front", "sheet", "rear"];
const KINDS: [string, string][] = [["no_go", t`no-go zone`], ["reserved", t`kept for later`]];

export class Zones {
  drawing = false;
  private box: [number, number, number, number] | null = null;

  constructor(private board: Board, private paper: HTMLElement, private add: (zone: Drawn) => void, private remove: (key: string) => void, private after: () => void) {
    board.extras.push(this);
    paper.addEventListener("pointerdown", (event) => { if (this.drawing) this.pull(event); }, { capture: true });
  }

  toggle(): void {
    this.drawing = !this.drawing;
    this.box = null;
    this.paper.classList.toggle("drawing", this.drawing);
    this.after();
  }

  private pull(start: PointerEvent): void {
    if (start.button !== 0) return;
    start.preventDefault();
    start.stopPropagation();
    const [x0, y0] = this.board.point(start).map(Math.round);
    const follow = (event: PointerEvent): void => {
      const [x1, y1] = this.board.point(event).map(Math.round);
      this.box = [Math.min(x0, x1), Math.min(y0, y1), Math.max(x0, x1), Math.max(y0, y1)];
      this.board.fill();
    };
    const end = (): void => {
      window.removeEventListener("pointermove", follow);
      window.removeEventListener("pointerup", end);
      window.removeEventListener("pointercancel", end);
      this.after();
      (by("card").querySelector("input[name=zone-name]") as HTMLElement | null)?.focus();
    };
    window.addEventListener("pointermove", follow);
    window.addEventListener("pointerup", end);
    window.addEventListener("pointercancel", end);
  }

  under(): SVGElement[] { return []; }

  over(): SVGElement[] {
    if (!this.drawing || !this.box) return [];
    const [x0, y0, x1, y1] = this.box;
    return [svg("rect", { class: "drawn", x: x0, y: y0, width: x1 - x0, height: y1 - y0 })];
  }

  /** What stands in the card while zones are drawn: the figures of the new one, and those that are there. */
  card(panel: Panel): HTMLElement[] {
    if (!this.drawing) return [];
    const [x0, y0, x1, y1] = panel.box;
    const box = this.box ?? [Math.round(x0 + (x1 - x0) / 4), Math.round(y0 + (y1 - y0) / 4), Math.round((x0 + x1) / 2), Math.round((y0 + y1) / 2)];
    const form = document.createElement("form");
    const kind = select(KINDS.map(([id]) => id), KINDS.map(([, words]) => words));
    const layer = select(SHEETS, SHEETS.map(word));
    const name = document.createElement("input");
    name.name = "zone-name";
    name.size = 14;
    const figures = ["left", "bottom", "right", "top"].map((_, at) => {
      const field = document.createElement("input");
      field.type = "number";
      field.step = "0.5";
      field.value = String(box[at]);
      field.addEventListener("input", () => { this.box = figures.map((one) => Number(one.value)) as [number, number, number, number]; this.board.fill(); });
      return field;
    });
    const put = document.createElement("button");
    put.textContent = t`Write it`;
    form.append(
      row(label(t`what`, kind), label(t`layer`, layer)), row(label(t`name`, name)),
      row(...figures.slice(0, 2).map((one, at) => label([t`left`, t`bottom`][at], one))),
      row(...figures.slice(2).map((one, at) => label([t`right`, t`top`][at], one))),
      row(put, button(t`Done`, () => this.toggle())),
    );
    kind.addEventListener("change", () => { layer.disabled = kind.value !== "no_go"; });
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const [left, bottom, right, top] = figures.map((one) => Number(one.value));
      this.box = null;
      this.add({ kind: kind.value, panel: panel.id, x0: left, y0: bottom, x1: right, y1: top, name: name.value, layer: layer.value });
    });
    const zones = [...panel.no_go, ...panel.reserved].filter((zone) => zone.key);
    return [heading(t`Pull a zone open on the panel`), form, ...zones.map((zone) => row(button(t`Take out ${zone.name || t`a zone`}`, () => this.remove(zone.key!))))];
  }
}

function label(words: string, part: HTMLElement): HTMLElement {
  const made = document.createElement("label");
  made.append(`${words} `, part);
  return made;
}
