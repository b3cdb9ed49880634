// The photograph under a panel: three marks are dragged in the picture and on the panel, or walked by keys, or typed.

import { Panel, Picture, Pictures, Spot, get } from "./data";
import { round, svg } from "./board";
import { button, heading, note, row, sayError, select } from "./parts";
import { t } from "./words";

type Half = "pixel" | "at";
const WHICH = ["1", "2", "3"];
const MARK_PX = 11;

export class Laying {
  private panel!: Panel;
  private pictures!: Pictures;
  private picture: Picture | null = null;
  private spots: Spot[] = [];
  private fields = new Map<string, HTMLInputElement>();
  private sheets = {} as Record<Half, SVGSVGElement>;
  private under: SVGElement | null = null;

  constructor(private dialog: HTMLDialogElement, private put: (panel: string, file: string, spots: Spot[]) => void, private remove: (panel: string) => void) {}

  async open(panel: Panel): Promise<void> {
    try { this.pictures = await get<Pictures>("pictures"); } catch (error) { sayError(error); return; }
    this.panel = panel;
    this.picture = null;
    const title = heading(t`A photograph under ${panel.name}`);
    title.id = "laying-title";
    const { names, laid } = this.pictures;
    const leave = button(t`Leave it`, () => this.dialog.close());
    if (!names.length) {
      this.dialog.replaceChildren(title, note(t`No JPEG or PNG lies beside the project file. Put one there and come back.`), row(leave));
      this.dialog.showModal();
      return;
    }
    const file = select(names);
    file.value = laid[panel.id]?.file ?? names[0];
    const label = document.createElement("label");
    label.append(`${t`picture`} `, file);
    const into = document.createElement("div");
    const write = button(t`Write it`, () => { this.put(panel.id, file.value, this.spots); this.dialog.close(); });
    const ends = row(write, leave);
    if (laid[panel.id]) ends.append(button(t`Take it out`, () => { this.remove(panel.id); this.dialog.close(); }));
    this.dialog.replaceChildren(title, row(label), note(t`Drag each mark to a spot you can find in the picture and on the panel: three corners, far apart. Arrow keys move a mark by 1, with Shift by 10. Sizes are never taken from the picture.`), into, ends);
    const choose = async (): Promise<void> => {
      write.disabled = true;
      into.replaceChildren();
      const wanted = file.value;
      try {
        const picture = await get<Picture>(`picture/${wanted.split("/").map(encodeURIComponent).join("/")}`);
        if (file.value !== wanted) return;
        this.picture = picture;
        this.spots = structuredClone(laid[panel.id]?.file === wanted ? laid[panel.id].points : this.begin(picture));
        into.replaceChildren(this.drawn(picture), ...WHICH.map((_, at) => this.typed(at)));
        this.draw();
        write.disabled = false;
      } catch (error) { into.replaceChildren(note(error instanceof Error ? error.message : "")); }
    };
    file.addEventListener("change", () => void choose());
    this.dialog.showModal();
    await choose();
  }

  /** Where the marks begin: near three corners of the picture, for three corners of the panel. */
  private begin({ size: [wide, tall] }: Picture): Spot[] {
    const [x0, y0, x1, y1] = this.panel.box;
    const near = (share: number, whole: number): number => Math.round(share * whole);
    return [
      { pixel: [near(.1, wide), near(.9, tall)], at: [x0, y0] },
      { pixel: [near(.9, wide), near(.9, tall)], at: [x1, y0] },
      { pixel: [near(.1, wide), near(.1, tall)], at: [x0, y1] },
    ];
  }

  private drawn({ href, size: [wide, tall] }: Picture): HTMLElement {
    const [x0, y0, x1, y1] = this.panel.box;
    const rim = Math.max(x1 - x0, y1 - y0) * .06;
    this.sheets = {
      pixel: svg("svg", { viewBox: `0 0 ${wide} ${tall}`, role: "group", "aria-label": t`Picture` }) as SVGSVGElement,
      at: svg("svg", { viewBox: `${x0 - rim} ${-y1 - rim} ${x1 - x0 + 2 * rim} ${y1 - y0 + 2 * rim}`, role: "group", "aria-label": t`Panel` }) as SVGSVGElement,
    };
    this.sheets.pixel.append(svg("image", { href, width: wide, height: tall }));
    const up = svg("g", { transform: "scale(1 -1)" });
    this.under = svg("image", { class: "photograph", href, width: wide, height: tall });
    up.append(this.under, svg("path", { class: "outline", d: this.panel.outline }), ...this.panel.openings.map((d) => svg("path", { class: "opening", d })));
    this.sheets.at.append(up);
    for (const half of ["pixel", "at"] as const) WHICH.forEach((_, at) => this.sheets[half].append(this.mark(half, at)));
    const both = document.createElement("div");
    both.className = "both";
    both.append(this.sheets.pixel, this.sheets.at);
    return both;
  }

  private mark(half: Half, at: number): SVGElement {
    const made = svg("g", { class: "spot-mark", tabindex: 0, role: "button", "data-mark": `${half} ${at}` });
    made.append(svg("circle", { r: MARK_PX }), svg("path", { d: `M${-MARK_PX} 0H${MARK_PX}M0 ${-MARK_PX}V${MARK_PX}` }), svg("text", { x: MARK_PX + 3, y: -MARK_PX + 2 }, WHICH[at]));
    made.addEventListener("keydown", (event) => {
      const step = event.shiftKey ? 10 : 1;
      const up = half === "at" ? step : -step;
      const by = ({ ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, up], ArrowDown: [0, -up] } as Record<string, number[]>)[event.key];
      if (!by) return;
      event.preventDefault();
      const [u, v] = this.spots[at][half];
      this.move(half, at, u + by[0], v + by[1]);
    });
    made.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      event.preventDefault();
      made.focus();
      made.setPointerCapture(event.pointerId);
      made.onpointermove = (to) => {
        const turned = this.sheets[half].getScreenCTM()?.inverse();
        if (!turned) return;
        const here = new DOMPoint(to.clientX, to.clientY).matrixTransform(turned);
        this.move(half, at, here.x, half === "at" ? -here.y : here.y);
      };
      made.onpointerup = made.onpointercancel = () => { made.onpointermove = null; };
    });
    return made;
  }

  private typed(at: number): HTMLElement {
    const field = (half: Half, axis: 0 | 1, words: string): HTMLElement => {
      const label = document.createElement("label");
      const made = document.createElement("input");
      made.type = "number";
      made.step = "any";
      made.setAttribute("aria-label", t`mark ${WHICH[at]}, ${words}`);
      made.addEventListener("change", () => {
        const [u, v] = this.spots[at][half];
        const to = made.value === "" ? this.spots[at][half][axis] : Number(made.value);
        this.move(half, at, axis ? u : to, axis ? to : v);
      });
      this.fields.set(`${half} ${at} ${axis}`, made);
      label.append(`${words} `, made);
      return label;
    };
    return row(`${WHICH[at]}:`, field("pixel", 0, t`px across`), field("pixel", 1, t`px down`), field("at", 0, "X mm"), field("at", 1, "Y mm"));
  }

  private move(half: Half, at: number, u: number, v: number): void {
    const [wide, tall] = half === "pixel" && this.picture ? this.picture.size : [Infinity, Infinity];
    const held = (value: number, most: number): number => round(half === "pixel" ? Math.min(most, Math.max(0, value)) : value);
    this.spots[at][half] = [held(u, wide), held(v, tall)];
    this.draw();
  }

  /** Put marks, figures and the picture under the outline where the spots are. */
  private draw(): void {
    for (const half of ["pixel", "at"] as const) this.spots.forEach((spot, at) => {
      const [u, v] = spot[half];
      const sheet = this.sheets[half];
      const large = 1 / (sheet.getScreenCTM()?.a || 1);  // as large on the screen whatever the picture's size
      const mark = sheet.querySelector(`[data-mark="${half} ${at}"]`);
      mark?.setAttribute("transform", `translate(${u} ${half === "at" ? -v : v}) scale(${large})`);
      mark?.setAttribute("aria-label", half === "at" ? t`Mark ${WHICH[at]} on the panel, X ${u}, Y ${v}` : t`Mark ${WHICH[at]} in the picture, ${u} across, ${v} down`);
      for (const axis of [0, 1] as const) this.fields.get(`${half} ${at} ${axis}`)!.value = String(spot[half][axis]);
    });
    const where = matrix(this.spots);
    this.under?.setAttribute("visibility", where ? "visible" : "hidden");
    if (where) this.under?.setAttribute("transform", `matrix(${where.join(" ")})`);
  }
}

/** The map from pixels to the panel that is exact at three spots; null where they lie in a line. */
function matrix([p, q, r]: Spot[]): number[] | null {
  const [u1, v1, u2, v2] = [q.pixel[0] - p.pixel[0], q.pixel[1] - p.pixel[1], r.pixel[0] - p.pixel[0], r.pixel[1] - p.pixel[1]];
  const whole = u1 * v2 - u2 * v1;
  if (!whole) return null;
  const [x, y] = ([0, 1] as const).map((axis) => {
    const [w1, w2] = [q.at[axis] - p.at[axis], r.at[axis] - p.at[axis]];
    const [across, down] = [(w1 * v2 - w2 * v1) / whole, (w2 * u1 - w1 * u2) / whole];
    return [across, down, p.at[axis] - across * p.pixel[0] - down * p.pixel[1]];
  });
  return [x[0], y[0], x[1], y[1], x[2], y[2]];
}
