// The shelf: devices that wait to be placed, the catalogue, and a device drawn by its size in the model's own words.

import { Field, Shelf as Told, State, get } from "./data";
import { button, heading, note, row, sayError, select } from "./parts";
import { t, word } from "./words";

export interface ShelfActs {
  choose(id: string): void;
  /** A device was let go over the drawing. */
  drop(id: string, at: { clientX: number; clientY: number }): void;
  add(device: Record<string, string | string[]>): void;
}

export class Shelf {
  private made = false;
  constructor(private waiting: HTMLElement, private forms: HTMLElement, private acts: ShelfActs) {}

  show(state: State, chosen: string[]): void {
    this.waiting.replaceChildren(...state.waiting.map((device) => {
      const press = button(device.name, () => this.acts.choose(device.id));
      press.dataset.device = device.id;
      press.setAttribute("aria-pressed", String(chosen.includes(device.id)));
      press.title = t`press it to see where it fits, or pull it on to the panel`;
      this.pull(press, device.id);
      return press;
    }));
    if (!state.waiting.length) this.waiting.append(note(t`Everything stands on a panel.`));
  }

  private pull(press: HTMLElement, id: string): void {
    press.style.touchAction = "none";
    press.addEventListener("pointerdown", (start) => {
      const end = (event: PointerEvent): void => {
        window.removeEventListener("pointerup", end);
        window.removeEventListener("pointercancel", end);
        const over = document.elementFromPoint(event.clientX, event.clientY);
        if (event.type === "pointerup" && over?.closest("#paper")) this.acts.drop(id, event);
      };
      if (start.button !== 0) return;
      press.releasePointerCapture?.(start.pointerId);
      window.addEventListener("pointerup", end);
      window.addEventListener("pointercancel", end);
    });
  }

  /** The forms are asked for once, when they are opened. */
  async open(): Promise<void> {
    if (this.made) return;
    try {
      const told = await get<Told>("shelf");
      this.made = true;
      this.forms.replaceChildren(this.catalogue(told), this.drawn(told));
    } catch (error) { sayError(error); }
  }

  private catalogue(told: Told): HTMLElement {
    const form = document.createElement("form");
    const kind = select(told.catalogue.map((one) => one.type));
    const about = note("");
    about.setAttribute("aria-live", "polite");
    const say = (): void => {
      const entry = told.catalogue.find((one) => one.type === kind.value);
      about.textContent = entry ? t`${entry.about} ${entry.source}. Measure your own before you cut.` : "";
    };
    kind.addEventListener("change", say);
    say();
    const name = field("name", "", 20);
    const panel = select(told.panels.map((one) => one.id), told.panels.map((one) => one.name));
    form.append(labelled(t`from the catalogue`, kind), about, labelled(t`name`, name), labelled(t`panel`, panel), row(submit(t`Take it`)));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.acts.add({ type: kind.value, name: name.value, panel: panel.value });
    });
    return form;
  }

  private drawn(told: Told): HTMLElement {
    const form = document.createElement("form");
    const reads: (() => [string, string | string[]])[] = [];
    for (const asked of told.drawn) {
      const [part, read] = this.asked(asked, told);
      form.append(part);
      reads.push(() => [asked.key, read()]);
    }
    form.append(row(submit(t`Draw it`)));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.acts.add(Object.fromEntries(reads.map((read) => read())));
    });
    const whole = document.createElement("div");
    whole.append(heading(t`Drawn by its size`), form);
    return whole;
  }

  private asked(asked: Field, told: Told): [HTMLElement, () => string | string[]] {
    const words = word(asked.key.replace(".rect", "").replace(".", ", ").replace(/_/g, " "));
    if (asked.key === "panel" || asked.choices.length) {
      const choice = asked.key === "panel" ? select(told.panels.map((one) => one.id), told.panels.map((one) => one.name)) : select(asked.choices);
      if (asked.choices.includes("measured")) choice.value = "measured";
      return [labelled(words, choice, asked.about), () => choice.value];
    }
    if (!asked.parts.length) {
      const text = field(words, "", asked.key === "name" ? 20 : 8);
      if (asked.key !== "name") text.placeholder = "mm";
      return [labelled(words, text, `${asked.about} ${asked.expected}`), () => text.value];
    }
    const fields = asked.parts.map((part) => field(`${words}, ${word(part)}`, "", 6));
    const set = document.createElement("fieldset");
    const legend = document.createElement("legend");
    legend.textContent = words;
    set.title = asked.about;
    set.append(legend, ...fields.map((one, at) => labelled(word(asked.parts[at]), one)));
    for (const one of fields) one.placeholder = "mm";
    return [set, () => fields.map((one) => one.value)];
  }
}

function field(what: string, value: string, size: number): HTMLInputElement {
  const made = document.createElement("input");
  made.value = value;
  made.size = size;
  made.name = what;
  made.autocomplete = "off";
  return made;
}

function labelled(words: string, part: HTMLElement, about = ""): HTMLElement {
  const label = document.createElement("label");
  label.append(`${words} `, part);
  if (about.trim()) label.title = about.trim();
  return label;
}

function submit(words: string): HTMLButtonElement {
  const made = document.createElement("button");
  made.textContent = words;
  return made;
}
