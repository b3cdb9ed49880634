// Layers of the panel itself that are drawn on demand: where the loom lies, the hinge and its swing, the depth behind.

import { svg } from "./board";
import { Panel } from "./data";
import { t } from "./words";

export const PANEL_LAYERS: [string, string][] = [["loom", "loom"], ["hinge", "hinge"], ["depth", "depth"]];

export class Layers {
  /** Pixels of a millimetre, and 1 seen from the front, -1 from the rear. */
  constructor(private shown: Set<string>, private view: () => { scale: number; sign: number }) {}

  under(panel: Panel): SVGElement[] {
    const made: SVGElement[] = [];
    if (this.shown.has("depth")) {
      for (const step of panel.depth.steps) {
        made.push(named(svg("path", { class: "depth", d: step.d }), t`${step.depth} mm free behind`));
      }
    }
    return made;
  }

  over(panel: Panel): SVGElement[] {
    const made: SVGElement[] = [];
    if (this.shown.has("loom")) {
      for (const chain of panel.loom) made.push(named(svg("polyline", { class: "loom", points: chain.map((at) => at.join(",")).join(" ") }), t`loom`));
    }
    if (this.shown.has("hinge") && panel.hinge) {
      const [x0, y0, x1, y1] = panel.hinge.axis;
      made.push(named(svg("line", { class: "hinge", x1: x0, y1: y0, x2: x1, y2: y1 }), t`hinge, opens ${panel.hinge.opens}°`));
      made.push(this.words((x0 + x1) / 2, (y0 + y1) / 2, t`opens ${panel.hinge.opens}°`));
      for (const one of panel.hinge.obstacles) {
        const [left, low, right, high] = one.box;
        made.push(named(svg("rect", { class: "obstacle", x: left, y: low, width: right - left, height: high - low }), t`${one.name} stands in the way of the swing`));
      }
    }
    if (this.shown.has("depth")) {
      const [x0, , x1, y1] = panel.box;
      if (panel.depth.everywhere !== null) made.push(this.words((x0 + x1) / 2, y1 + 12 / this.view().scale, t`${panel.depth.everywhere} mm free behind`));
      for (const [x, y, depth] of panel.depth.points) made.push(svg("circle", { class: "depth-point", cx: x, cy: y, r: 3 / this.view().scale }), this.words(x, y + 10 / this.view().scale, `${depth} mm`));
      for (const step of panel.depth.steps) {
        const [x, y] = step.at;
        made.push(this.words(x, y, `${step.depth} mm`));
      }
    }
    return made;
  }

  private words(x: number, y: number, text: string): SVGElement {
    const { scale, sign } = this.view();
    return svg("text", { class: "layer", transform: `translate(${x} ${y}) scale(${sign} -1)`, "font-size": 12 / scale }, text);
  }
}

function named(made: SVGElement, words: string): SVGElement {
  made.append(svg("title", {}, words));
  return made;
}
