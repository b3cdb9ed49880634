// The drawing board: one panel as SVG, zoomed and panned, with devices that are dragged, snapped and walked by keys.

import { Box, Device, Finding, Panel, Picture, get, post } from "./data";
import { t } from "./words";

const NS = "http://www.w3.org/2000/svg";
export const LAYERS: [string, string][] = [
  ["faces", "faces"], ["cutouts", "cut-outs"], ["behind", "behind"], ["clear", "kept clear"], ["names", "names"], ["grid", "grid"], ["photograph", "photograph"],
];
const SNAP_PX = 7;
const GRID_MM = 5;

export interface BoardActs {
  choose(ids: string[]): void;
  move(id: string, x: number, y: number): void;
  turn(id: string): void;
  pin(id: string): void;
  said(findings: Finding[], device: string): void;
  /** A device is taken hold of; null when it is let go. */
  held(device: Device | null): void;
}

export function svg(name: string, marks: Record<string, string | number> = {}, inner = ""): SVGElement {
  const made = document.createElementNS(NS, name);
  for (const [key, value] of Object.entries(marks)) made.setAttribute(key, String(value));
  if (inner) made.textContent = inner;
  return made;
}

export class Board {
  panel: Panel | null = null;
  /** Shown in the panel's place while it is not null; nothing of it can be taken hold of. */
  preview: Panel | null = null;
  side: "front" | "rear" = "front";
  chosen: string[] = [];
  shown = new Set(["faces", "cutouts", "clear", "names", "grid", "photograph"]);
  findings = new Map<string, Finding[]>();
  /** What others draw on the panel, below and above the devices. */
  extras: { under(panel: Panel): SVGElement[]; over(panel: Panel): SVGElement[] }[] = [];
  several = false;        // each one that is touched is chosen besides the others
  private root: SVGSVGElement;
  private scale = 1;      // px for a millimetre
  private middle: [number, number] = [0, 0]; // panel point in the middle of the paper
  private photographs = new Map<string, Promise<Picture>>();
  private looking = false;
  private next: (() => void) | null = null;

  constructor(private paper: HTMLElement, private acts: BoardActs) {
    this.root = svg("svg", { role: "group", "aria-label": t`Panel` }) as SVGSVGElement;
    paper.append(this.root);
    let before = 0;
    new ResizeObserver(() => {
      const { width } = paper.getBoundingClientRect();
      if (Math.abs(width - before) > 40) this.fit(); else this.place();
      before = width;
    }).observe(paper);
    paper.addEventListener("wheel", (event) => { event.preventDefault(); this.zoom(Math.exp(-event.deltaY / 500), event); }, { passive: false });
    this.pan();
  }

  show(panel: Panel | null): void {
    const other = this.panel?.id !== panel?.id;
    this.panel = panel;
    if (other) this.fit(); else this.draw();
  }

  fit(): void {
    const panel = this.preview ?? this.panel;
    if (!panel) { this.draw(); return; }
    const [x0, y0, x1, y1] = panel.box;
    const { width, height } = this.paper.getBoundingClientRect();
    this.scale = Math.max(0.05, Math.min(width / (x1 - x0 + 40), height / (y1 - y0 + 40)));
    this.middle = [(x0 + x1) / 2, (y0 + y1) / 2];
    this.draw();
  }

  trueSize(pxForMm: number): void { this.scale = pxForMm; this.place(); this.draw(); }

  zoom(by: number, at?: { clientX: number; clientY: number }): void {
    const before = at ? this.point(at) : this.middle;
    this.scale = Math.min(40, Math.max(0.05, this.scale * by));
    if (at) { const after = this.point(at); this.middle = [this.middle[0] + before[0] - after[0], this.middle[1] + before[1] - after[1]]; }
    this.draw();
  }

  /** Draw the paper along until a box is on it. */
  private bring(box: Box): void {
    const { width, height } = this.paper.getBoundingClientRect();
    if (!width || !height) return;
    [width, height].forEach((px, axis) => {
      const half = px / this.scale / 2;
      const [low, high] = [box[axis] - half, box[axis + 2] + half];
      const inside = this.middle[axis] - half <= box[axis] && box[axis + 2] <= this.middle[axis] + half;
      if (!inside) this.middle[axis] = high - low > 4 * half ? (low + high) / 2 : Math.min(Math.max(this.middle[axis], box[axis + 2] - half), box[axis] + half);
    });
    this.place();
  }

  /** Pixels of a millimetre, and the side: 1 front, -1 rear. */
  get view(): { scale: number; sign: number } { return { scale: this.scale, sign: this.sign }; }

  private get sign(): number { return this.side === "front" ? 1 : -1; }

  /** Panel millimetres under a pointer. */
  point(at: { clientX: number; clientY: number }): [number, number] {
    const { left, top, width, height } = this.paper.getBoundingClientRect();
    return [
      this.middle[0] + this.sign * (at.clientX - left - width / 2) / this.scale,
      this.middle[1] - (at.clientY - top - height / 2) / this.scale,
    ];
  }

  private place(): void {
    const { width, height } = this.paper.getBoundingClientRect();
    if (!width || !height) return;
    const [w, h] = [width / this.scale, height / this.scale];
    this.root.setAttribute("viewBox", `${-w / 2} ${-h / 2} ${w} ${h}`);
    const turned = this.root.querySelector("#sheet");
    turned?.setAttribute("transform", `scale(${this.sign} -1) translate(${-this.middle[0]} ${-this.middle[1]})`);
  }

  draw(): void {
    const focused = (document.activeElement as HTMLElement | null)?.dataset?.device;
    this.root.replaceChildren();
    const defs = svg("defs");
    const hatch = svg("pattern", { id: "hatch", width: 6, height: 6, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" });
    hatch.append(svg("path", { d: "M0 0V6", stroke: "var(--stop)", "stroke-width": 0.6 }));
    defs.append(hatch);
    const sheet = svg("g", { id: "sheet" });
    this.root.append(defs, sheet);
    const panel = this.preview ?? this.panel;
    this.root.classList.toggle("preview", !!this.preview);
    if (panel) {
      if (panel.photograph && this.shown.has("photograph")) sheet.append(this.underneath(panel, panel.photograph));
      if (this.shown.has("grid")) sheet.append(grid(panel.box));
      sheet.append(svg("path", { class: "outline", d: panel.outline }));
      for (const d of panel.openings) sheet.append(svg("path", { class: "opening", d }));
      for (const d of panel.old_holes) sheet.append(svg("path", { class: "old", d }));
      for (const zone of panel.no_go) sheet.append(titled(svg("path", { class: "no-go", d: zone.d }), zone.name));
      for (const zone of panel.reserved) sheet.append(titled(svg("path", { class: "reserved", d: zone.d }), zone.name || t`kept free`));
      if (panel.exit) sheet.append(titled(svg("circle", { class: "exit", cx: panel.exit[0], cy: panel.exit[1], r: 6 }), t`cable exit`));
      sheet.append(svg("g", { id: "under" }), ...panel.devices.map((device) => this.device(device)), svg("g", { id: "over" }));
      this.fill();
    }
    this.place();
    if (focused) (this.root.querySelector(`[data-device="${CSS.escape(focused)}"]`) as HTMLElement | null)?.focus();
  }

  /** Draw anew what others draw on the panel, and leave the rest. */
  fill(): void {
    const panel = this.preview ?? this.panel;
    if (!panel) return;
    this.root.querySelector("#under")?.replaceChildren(...this.extras.flatMap((extra) => extra.under(panel)));
    this.root.querySelector("#over")?.replaceChildren(...this.extras.flatMap((extra) => extra.over(panel)));
  }

  /** The photograph under the panel, fetched once; the server says where its pixels lie. */
  private underneath(panel: Panel, [file, ...where]: [string, ...number[]]): SVGElement {
    const image = svg("image", { class: "photograph", transform: `matrix(${where.join(" ")})` });
    const name = `${panel.id} ${file}`;
    if (!this.photographs.has(name)) this.photographs.set(name, get(`photograph/${encodeURIComponent(panel.id)}`));
    this.photographs.get(name)!.then((told) => {
      for (const [mark, value] of Object.entries({ href: told.href, width: told.size[0], height: told.size[1] })) image.setAttribute(mark, String(value));
    }).catch(() => { this.photographs.delete(name); });
    return image;
  }

  private device(device: Device): SVGElement {
    const told = this.preview ? [] : this.findings.get(device.id) ?? [];
    const worst = told[0]?.severity ?? "";
    const marks = ["device", worst, this.chosen.includes(device.id) ? "chosen" : "", device.cut ? "cut" : "", device.pinned ? "pinned" : ""];
    const where = `${device.name}, X ${round(device.x)}, Y ${round(device.y)}${device.pinned ? t`, pinned` : ""}${worst ? told.length === 1 ? t`, a finding` : t`, ${told.length} findings` : ""}`;
    const group = this.preview ? svg("g", { class: "device" })
      : svg("g", { class: marks.filter(Boolean).join(" "), tabindex: 0, role: "button", "aria-label": where, "data-device": device.id });
    group.append(titled(svg("path", { class: "face", d: device.face, visibility: this.shown.has("faces") ? "visible" : "hidden", "pointer-events": "all" }), [where, ...told.map((one) => one.message)].join("\n")));
    if (this.shown.has("behind")) for (const d of [...device.bodies]) group.append(svg("path", { class: "body", d }));
    if (this.shown.has("behind")) for (const d of [...device.tails]) group.append(svg("path", { class: "tail", d }));
    if (this.shown.has("clear")) for (const zone of device.clear) group.append(titled(svg("path", { class: "clear", d: zone.d }), zone.name));
    if (this.shown.has("cutouts")) {
      for (const d of device.cutouts) group.append(svg("path", { class: "cutout", d }));
      for (const [x, y, r] of device.holes) group.append(svg("circle", { class: "cutout", cx: x, cy: y, r, "vector-effect": "non-scaling-stroke" }));
    }
    if (this.shown.has("names")) group.append(...this.label(device));
    if (worst) group.append(...this.mark(device));
    if (device.pinned) group.append(svg("circle", { class: "pin", cx: device.box[0] + 4, cy: device.box[3] - 4, r: 2 }));
    if (!this.preview) this.handle(group as SVGGElement, device);
    return group;
  }

  /** A mark in the upper right corner: something is found here, and the card says what. */
  private mark(device: Device): SVGElement[] {
    const size = 8 / this.scale;
    const [x, y] = [this.side === "front" ? device.box[2] : device.box[0], device.box[3]];
    return [
      svg("circle", { class: "mark", cx: x, cy: y, r: size }),
      svg("text", { class: "sign", transform: `translate(${x} ${y}) scale(${this.sign} -1)`, "font-size": size * 1.5 }, "!"),
    ];
  }

  private label(device: Device): SVGElement[] {
    const [x0, y0, x1, y1] = device.box;
    const [w, h] = [x1 - x0, y1 - y0];
    const px = Math.max(9, Math.min(14, this.scale * Math.min(h / 2.2, 9)));
    const size = px / this.scale;
    const most = Math.max(3, Math.floor((w * 0.94) / (size * 0.52)));
    const rows = Math.max(1, Math.floor((h * 0.94) / (size * 1.15)));
    const whole = wrapped(device.name, most);
    const fits = whole.length <= rows && !whole.some((line) => line.endsWith("…"));
    if (!fits) {  // a small thing has its name below it
      const below = svg("text", { transform: `translate(${(x0 + x1) / 2} ${y0 - size * 0.8}) scale(${this.sign} -1)`, "font-size": size * 0.9 }, device.name);
      return this.scale * Math.max(w, 60) > device.name.length * px * 0.45 ? [below] : [];
    }
    const lines = whole;
    const middle = (y0 + y1) / 2 + ((lines.length - 1) * size * 1.15) / 2;
    return lines.map((text, at) => svg("text", {
      transform: `translate(${(x0 + x1) / 2} ${middle - at * size * 1.15}) scale(${this.sign} -1)`, "font-size": size,
    }, at < lines.length - 1 ? `${text} ` : text));
  }

  private handle(group: SVGGElement, device: Device): void {
    group.addEventListener("keydown", (event) => this.key(event, device));
    group.addEventListener("focus", () => this.bring(device.box));
    group.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      event.preventDefault();
      event.stopPropagation();
      const more = this.several || event.shiftKey || event.ctrlKey || event.metaKey;
      this.acts.choose(more ? toggled(this.chosen, device.id) : [device.id]);
      const live = this.root.querySelector(`[data-device="${CSS.escape(device.id)}"]`) as SVGGElement;
      live?.focus();
      if (!device.cut && !more) this.drag(event, device, live ?? group);
    });
  }

  private drag(start: PointerEvent, device: Device, group: SVGGElement): void {
    const from = this.point(start);
    let at: [number, number] = [device.x, device.y];
    let moved = false;
    const follow = (event: PointerEvent): void => {
      const here = this.point(event);
      const wish: [number, number] = [here[0] - from[0], here[1] - from[1]];
      if (!moved && Math.hypot(...wish) * this.scale < 3) return;
      if (!moved) this.acts.held(device);
      moved = true;
      const by = event.altKey ? wish : this.snapped(device, wish);
      at = [device.x + by[0], device.y + by[1]];
      group.setAttribute("transform", `translate(${by[0]} ${by[1]})`);
      this.look(device, at, group);
    };
    const end = (event: PointerEvent): void => {
      window.removeEventListener("pointermove", follow);
      window.removeEventListener("pointerup", end);
      window.removeEventListener("pointercancel", end);
      this.next = null;
      this.guides([]);
      if (moved) this.acts.held(null);
      if (moved && event.type === "pointerup") this.acts.move(device.id, round(at[0]), round(at[1]));
      else group.removeAttribute("transform");
    };
    window.addEventListener("pointermove", follow);
    window.addEventListener("pointerup", end);
    window.addEventListener("pointercancel", end);
  }

  /** The judge is asked while dragging; one question at a time, the newest place next. */
  private look(device: Device, at: [number, number], group: SVGGElement): void {
    const ask = async (): Promise<void> => {
      this.looking = true;
      try {
        const told = await post<{ findings: Finding[] }>("look", { device: device.id, x: at[0], y: at[1] });
        const worst = told.findings.find((finding) => finding.severity === "stop") ? "stop" : told.findings.find((f) => f.severity === "watch") ? "watch" : "";
        group.classList.remove("stop", "watch");
        if (worst) group.classList.add(worst);
        this.acts.said(told.findings, device.id);
      } catch { /* the bench is gone; the next act says so */ }
      this.looking = false;
      const next = this.next;
      this.next = null;
      next?.();
    };
    if (this.looking) this.next = () => void ask(); else void ask();
  }

  private snapped(device: Device, wish: [number, number]): [number, number] {
    const near = SNAP_PX / this.scale;
    const lines: { axis: 0 | 1; at: number }[] = [];
    const by: [number, number] = [...wish];
    for (const axis of [0, 1] as const) {
      const own = [device.box[axis], (device.box[axis] + device.box[axis + 2]) / 2, device.box[axis + 2]];
      let best = near;
      for (const other of this.panel?.devices ?? []) {
        if (other.id === device.id) continue;
        for (const line of [other.box[axis], (other.box[axis] + other.box[axis + 2]) / 2, other.box[axis + 2]]) {
          for (const edge of own) {
            const off = line - (edge + wish[axis]);
            if (Math.abs(off) < best) { best = Math.abs(off); by[axis] = wish[axis] + off; lines[axis] = { axis, at: line }; }
          }
        }
      }
      if (best === near) {
        const spot = (axis === 0 ? device.x : device.y) + wish[axis];
        const grid = Math.round(spot / GRID_MM) * GRID_MM;
        if (this.scale * GRID_MM > 6) by[axis] = wish[axis] + grid - spot;
      }
    }
    this.guides(lines.filter(Boolean));
    return by;
  }

  private guides(lines: { axis: 0 | 1; at: number }[]): void {
    this.root.querySelectorAll(".guide").forEach((old) => old.remove());
    const sheet = this.root.querySelector("#sheet");
    if (!this.panel || !sheet) return;
    const [x0, y0, x1, y1] = this.panel.box;
    for (const { axis, at } of lines) {
      sheet.append(axis === 0 ? svg("line", { class: "guide", x1: at, x2: at, y1: y0 - 20, y2: y1 + 20 })
        : svg("line", { class: "guide", y1: at, y2: at, x1: x0 - 20, x2: x1 + 20 }));
    }
  }

  private key(event: KeyboardEvent, device: Device): void {
    const step = event.shiftKey ? 10 : 1;
    const by: Record<string, [number, number]> = { ArrowLeft: [-step * this.sign, 0], ArrowRight: [step * this.sign, 0], ArrowUp: [0, step], ArrowDown: [0, -step] };
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (by[event.key]) { event.preventDefault(); this.acts.choose([device.id]); this.acts.move(device.id, round(device.x + by[event.key][0]), round(device.y + by[event.key][1])); }
    else if (event.key === "Enter" || event.key === " ") { event.preventDefault(); this.acts.choose(event.shiftKey || this.several ? toggled(this.chosen, device.id) : [device.id]); }
    else if (event.key === "+" || event.key === "-") this.zoom(event.key === "+" ? 1.25 : 0.8);
    else if (event.key === "t") this.acts.turn(device.id);
    else if (event.key === "p") this.acts.pin(device.id);
  }

  private pan(): void {
    const held = new Map<number, PointerEvent>();
    this.paper.addEventListener("pointerdown", (event) => {
      held.set(event.pointerId, event);
      if (held.size === 1) this.acts.choose([]);
    });
    window.addEventListener("pointermove", (event) => {
      const before = held.get(event.pointerId);
      if (!before) return;
      const [a, b] = [...held.values()];
      if (held.size === 2) {
        const apart = (p: PointerEvent, q: PointerEvent): number => Math.hypot(p.clientX - q.clientX, p.clientY - q.clientY);
        const was = apart(a, b);
        held.set(event.pointerId, event);
        const [c, d] = [...held.values()];
        this.zoom(apart(c, d) / Math.max(was, 1), { clientX: (c.clientX + d.clientX) / 2, clientY: (c.clientY + d.clientY) / 2 });
        return;
      }
      held.set(event.pointerId, event);
      this.middle = [this.middle[0] - this.sign * (event.clientX - before.clientX) / this.scale, this.middle[1] + (event.clientY - before.clientY) / this.scale];
      this.place();
    });
    for (const kind of ["pointerup", "pointercancel"] as const) window.addEventListener(kind, (event) => held.delete(event.pointerId));
  }
}

function grid(box: Box): SVGElement {
  const [x0, y0, x1, y1] = box;
  let d = "";
  for (let x = Math.ceil(x0 / 10) * 10; x <= x1; x += 10) d += `M${x} ${y0}V${y1}`;
  for (let y = Math.ceil(y0 / 10) * 10; y <= y1; y += 10) d += `M${x0} ${y}H${x1}`;
  return svg("path", { class: "grid", d });
}

function titled(made: SVGElement, words: string): SVGElement {
  if (words) made.append(svg("title", {}, words));
  return made;
}

export function wrapped(text: string, most: number): string[] {
  const lines: string[] = [];
  for (const word of text.split(/\s+/)) {
    const last = lines[lines.length - 1];
    if (last !== undefined && last.length + 1 + word.length <= most) lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word.length > most ? `${word.slice(0, Math.max(1, most - 1))}…` : word);
  }
  return lines;
}

export const round = (value: number): number => Math.round(value * 10) / 10;
const toggled = (list: string[], id: string): string[] => list.includes(id) ? list.filter((one) => one !== id) : [...list, id];
