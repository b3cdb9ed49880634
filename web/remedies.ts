// Why nothing fits, and the single changes that would help: each shows what it would do, and does it.

import { Panel, Remedy, Solving, get } from "./data";
import { button, note, paragraph, sayError } from "./parts";
import { Shown } from "./shown";
import { t } from "./words";

export function remedies(into: HTMLElement, solving: Solving | null, shown: Shown, take: (number: number) => void): void {
  into.replaceChildren();
  if (!solving?.ended || solving.found) return;
  into.append(...solving.lines.map(paragraph));
  const list = document.createElement("ol");
  list.className = "remedies";
  list.append(...(solving.remedies ?? []).map((remedy) => item(remedy, shown, take)));
  if (list.children.length) into.append(list);
}

function item(remedy: Remedy, shown: Shown, take: (number: number) => void): HTMLElement {
  const made = document.createElement("li");
  const token = `remedy ${remedy.number}`;
  const press = button(remedy.words, () => void show());
  press.setAttribute("aria-pressed", String(shown.is(token)));
  press.setAttribute("aria-label", t`Show what it would do: ${remedy.words}`);
  const show = async (): Promise<void> => {
    if (shown.is(token)) { shown.end(); return; }
    try {
      const told = await get<{ panels: Panel[] }>(`remedy/${remedy.number}`);
      shown.show(token, remedy.words, told.panels, [button(t`Do it`, () => { shown.end(); take(remedy.number); })]);
    } catch (error) { sayError(error); }
  };
  made.append(press, note(remedy.settings.map(([key, value]) => value === null ? t`takes out ${key}` : `${key}: ${JSON.stringify(value)}`).join("; ")));
  return made;
}
