// Where a device would fit while all others stay: areas and one good place in each, as the engine and the judge say.

import { Board, svg } from "./board";
import { Device, Panel, Place, Places as Told, State, get } from "./data";
import { button, note, sayError } from "./parts";
import { t } from "./words";

const where = (at: Place): string => `X ${at.x}, Y ${at.y}${at.turn ? t`, turned ${at.turn}°` : ""}`;

export class Places {
  private told: Told | null = null;
  private asked = "";
  private held: Device | null = null;
  constructor(private board: Board, private put: (device: string, at: Place) => void, private after: () => void) {
    board.extras.push(this);
  }

  /** Whether the places of this device are lit. */
  are(device: string): boolean { return this.told?.device === device && !this.held; }

  /** Ask for the free places of a device and light them up. */
  async light(device: string): Promise<void> { if (await this.ask(device)) this.after(); }

  /** Shade the room that is free for a device while it is held; null when it is let go. */
  async hold(device: Device | null): Promise<void> {
    if (!device) { this.clear(); this.board.fill(); return; }
    this.held = device;
    if (await this.ask(device.id)) this.board.fill();
  }

  clear(): void { this.asked = ""; this.told = null; this.held = null; }

  private async ask(device: string): Promise<boolean> {
    this.asked = device;
    try {
      const told = await get<Told>(`places/${encodeURIComponent(device)}`);
      if (this.asked !== device) return false;
      this.told = told;
      return true;
    } catch (error) { if (!this.held) sayError(error); return false; }
  }

  under(panel: Panel): SVGElement[] {
    return this.here(panel).map((at) => svg("path", { class: "free", d: at.area, "fill-rule": "evenodd" }));
  }

  over(panel: Panel): SVGElement[] {
    const told = this.told;
    if (this.held || !told) return [];
    return this.here(panel).map((at) => {
      const spot = svg("path", { class: "spot", d: at.face, tabindex: 0, role: "button", "aria-label": t`Put ${told.name} at ${where(at)}` });
      const put = (event: Event): void => { event.preventDefault(); event.stopPropagation(); this.put(told.device, at); };
      spot.addEventListener("pointerdown", (event) => event.stopPropagation());
      spot.addEventListener("click", put);
      spot.addEventListener("keydown", (event) => { if (event.key === "Enter" || event.key === " ") put(event); });
      return spot;
    });
  }

  private here(panel: Panel): Place[] {
    return (this.told?.places ?? []).filter((at) => at.panel === panel.id && (!this.held || at.turn === this.held.turn));
  }

  /** The places as buttons, for those who do not point at them; on other panels too. */
  buttons(state: State): HTMLElement[] {
    const told = this.told;
    if (!told) return [];
    if (!told.places.length) return [note(t`${told.name} fits nowhere else while all others stay.`)];
    return told.places.slice(0, 12).map((at) => {
      const panel = state.panels.find((one) => one.id === at.panel)?.name ?? at.panel;
      return button(`${panel}: ${where(at)}`, () => this.put(told.device, at));
    });
  }
}
