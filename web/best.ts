// The best picture so far of a placing that goes on, drawn anew with each improvement.

import { svg } from "./board";
import { Panel, get } from "./data";
import { t } from "./words";

/** A panel in small: its outline and the faces on it. */
export function small(panels: Panel[], id: string): SVGElement | null {
  const panel = panels.find((one) => one.id === id) ?? panels[0];
  if (!panel) return null;
  const [x0, y0, x1, y1] = panel.box;
  const picture = svg("svg", { viewBox: `${x0} ${-y1} ${x1 - x0} ${y1 - y0}`, "aria-hidden": "true" });
  const group = svg("g", { transform: "scale(1 -1)" });
  group.append(svg("path", { class: "outline", d: panel.outline }), ...panel.devices.map((one) => svg("path", { class: "face", d: one.face })));
  picture.append(group);
  return picture;
}

export class Best {
  private seen = 0;
  private asking = false;
  constructor(private into: HTMLElement, private sheet: () => string) {}

  /** There are so many pictures by now; none while nothing is placed. */
  async follow(pictures: number): Promise<void> {
    if (!pictures) { this.seen = 0; this.into.replaceChildren(); return; }
    if (pictures === this.seen || this.asking) return;
    this.asking = true;
    try {
      const told = await get<{ panels: Panel[]; pictures: number }>("best");
      this.seen = told.pictures;
      const picture = small(told.panels, this.sheet());
      const words = document.createElement("figcaption");
      words.textContent = t`The best so far; the judge looks at it at the end.`;
      if (picture) this.into.replaceChildren(picture, words);
    } catch { /* the placing has ended meanwhile; its arrangements are shown */ }
    this.asking = false;
  }
}
