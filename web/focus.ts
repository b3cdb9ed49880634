// What has the focus keeps it when a part of the page is made anew.

const PARTS = "#card, #waiting, #findings, #proposals, #sheets, #wires";
const REACHED = "button:not(:disabled), input:not(:disabled), select:not(:disabled), a[href]";

/** Make parts of the page anew; the focus stays at the same place of its part. */
export function kept(make: () => void): void {
  const part = document.activeElement?.closest(PARTS);
  const at = part ? [...part.querySelectorAll(REACHED)].indexOf(document.activeElement!) : -1;
  make();
  if (!part || at < 0 || part.contains(document.activeElement)) return;
  const reached = [...part.querySelectorAll<HTMLElement>(REACHED)];
  reached[Math.min(at, reached.length - 1)]?.focus();
}
