// A picture of what is not done yet, shown on the board in place of what is: a change, a proposal, the best so far.

import { Board } from "./board";
import { Panel } from "./data";
import { by, button, row } from "./parts";
import { t } from "./words";

export class Shown {
  private token = "";
  constructor(private board: Board, private sheet: () => string, private after: () => void) {}

  /** Whether it is the picture of this name that is shown. */
  is(token: string): boolean { return this.token === token; }

  show(token: string, words: string, panels: Panel[], acts: HTMLButtonElement[]): void {
    this.token = token;
    this.board.preview = panels.find((panel) => panel.id === this.sheet()) ?? panels[0] ?? null;
    const told = document.createElement("span");
    told.textContent = t`Shown, not done: ${words}`;
    by("shown").replaceChildren(told, row(...acts, button(t`Back to what is`, () => this.end())));
    by("shown").hidden = false;
    this.board.fit();
    this.after();
  }

  end(): void {
    if (!this.token) return;
    this.token = "";
    this.board.preview = null;
    by("shown").hidden = true;
    by("shown").replaceChildren();
    this.board.fit();
    this.after();
  }
}
