// What the bench's JSON interface gives and takes; every judgement comes from there.

import { t } from "./words";

export interface FilePlace { file: string; line: number; column: number; key: string }
export interface Finding {
  rule: string; name: string; severity: "stop" | "watch" | "note"; message: string; remedy: string | null;
  subjects: string[]; at: FilePlace; related: FilePlace[]; measured: number | null; limit: number | null; unit: string;
}
export interface Zone { d: string; name: string; key?: string }
export interface Device {
  id: string; name: string; number: number; x: number; y: number; turn: number; turns: number[]; pinned: boolean;
  cut: boolean; box: Box; face: string; cutouts: string[]; bodies: string[]; tails: string[]; clear: Zone[];
  holes: [number, number, number][];
}
export type Box = [number, number, number, number];
export interface Panel {
  id: string; name: string; box: Box; outline: string; openings: string[]; no_go: Zone[]; old_holes: string[];
  reserved: Zone[]; exit: [number, number] | null; photograph: [string, ...number[]] | null; devices: Device[]; loom: [number, number][][];
  hinge: { axis: Box; opens: number; obstacles: { box: Box; name: string }[] } | null;
  depth: { everywhere: number | null; points: [number, number, number][]; steps: { d: string; at: [number, number]; depth: number }[] };
}
export interface Remedy { number: number; words: string; settings: [string, unknown][] }
export interface Solving { words: string; ended: boolean; waiting: number; found: number; lines: string[]; remedies: Remedy[] }
export interface State {
  version: number; language: string; name: string; revision: string; example: boolean; panels: Panel[]; waiting: { id: string; name: string; turn: number }[];
  findings: Finding[]; kept: boolean; chosen: boolean; cost: number; by_wish: Record<string, number>; proof: string; undo: string | null;
  redo: string | null; proposals: { number: number; cost: number; name: string }[]; solving: Solving | null;
}
export interface Run {
  key: string; number: string; name: string; route: string[]; size: string; length_m: number | null;
  current_a: number | null; drop_percent: number | null; limit_percent: number | null; fuse_a: number | null;
  fuse: string; circuit: string; ends: { name: string; device: string | null }[];
}
export interface Wiring {
  runs: Run[]; places: { id: string; name: string; at: number[] | null }[];
  wireways: { id: string; name: string; from: string; to: string; fill: number | null; limit: number | null }[];
  findings: Finding[];
}

export interface Place { panel: string; x: number; y: number; turn: number; face: string; area: string }
export interface Places { device: string; name: string; places: Place[] }
export interface Field { key: string; parts: string[]; expected: string; choices: string[]; about: string }
export interface Shelf {
  catalogue: { type: string; about: string; source: string }[]; panels: { id: string; name: string }[]; drawn: Field[];
}

export interface Spot { pixel: [number, number]; at: [number, number] }
export interface Pictures { names: string[]; laid: Record<string, { file: string; points: Spot[] }> }
export interface Picture { href: string; size: [number, number] }

export interface Table { title: string; columns: string[]; rows: string[][]; faulty: number[]; notes: string[] }
export interface Comparison {
  changes: { what: string; id: string; change: string; before: unknown; now: unknown }[];
  labels_to_print_again: { wire: string; before: string; now: string }[] | null;
  findings_of_the_first_alone: Finding[] | null; findings_of_the_second_alone: Finding[] | null;
  pictures: [Panel[] | null, Panel[] | null];
}

export class Refused extends Error {}

async function answer<T>(reply: Response): Promise<T> {
  const told = await reply.json().catch(() => ({ refused: t`the bench does not answer; is it still running?` }));
  if (!reply.ok) throw new Refused(told.refused ?? t`that was refused`);
  return told as T;
}

export const get = async <T>(name: string): Promise<T> => answer<T>(await fetch(`api/${name}`));

export const post = async <T>(name: string, what: object): Promise<T> =>
  answer<T>(await fetch(`api/${name}`, {
    method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(what),
  }));
