// Small pieces of the page: buttons, fields, rows, and what is said for a moment.

import { Refused } from "./data";
import { t } from "./words";

export const by = <T extends HTMLElement>(id: string): T => document.getElementById(id) as T;

export function button(words: string, press: () => void, key = ""): HTMLButtonElement {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = words;
  if (key) made.title = t`key ${key}`;
  made.addEventListener("click", press);
  return made;
}

export function select(values: string[], names = values): HTMLSelectElement {
  const made = document.createElement("select");
  values.forEach((value, at) => made.add(new Option(names[at], value)));
  return made;
}

export function row(...parts: (HTMLElement | string)[]): HTMLElement {
  const made = document.createElement("div");
  made.className = "row";
  made.append(...parts);
  return made;
}

export function note(words: string): HTMLElement {
  const made = document.createElement("small");
  made.textContent = words;
  return made;
}

export function heading(words: string): HTMLElement {
  const made = document.createElement("h2");
  made.textContent = words;
  return made;
}

export function paragraph(words: string): HTMLElement {
  const made = document.createElement("p");
  made.textContent = words;
  return made;
}

let quiet = 0;
export function say(words: string): void {
  const into = by("said");
  into.textContent = words;
  into.hidden = false;
  window.clearTimeout(quiet);
  quiet = window.setTimeout(() => { into.hidden = true; }, 7000);
}

export function sayError(error: unknown): void {
  say(error instanceof Refused ? error.message : t`the bench does not answer; is it still running?`);
}
