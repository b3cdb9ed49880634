// What the rules say: as a list, on the device it concerns, and where each finding leads.

import { Finding, State } from "./data";
import { t, word } from "./words";

export interface Place { sheet: string; devices: string[]; wires: string[]; wireways: string[] }

const rank = { stop: 0, watch: 1, note: 2 };

/** Findings by device, the gravest first; what is only noted is left out. */
export function byDevice(findings: Finding[]): Map<string, Finding[]> {
  const told = new Map<string, Finding[]>();
  for (const finding of [...findings].sort((a, b) => rank[a.severity] - rank[b.severity])) {
    if (finding.severity === "note") continue;
    for (const subject of finding.subjects) {
      if (subject.startsWith("devices.")) told.set(subject.slice(8), [...(told.get(subject.slice(8)) ?? []), finding]);
    }
  }
  return told;
}

/** Where a finding leads: to devices on a panel, a panel, or runs and wireways; null where only the file shows it. */
export function place(finding: Finding, state: State): Place | null {
  const of = (section: string): string[] => finding.subjects.filter((one) => one.startsWith(`${section}.`)).map((one) => one.slice(section.length + 1));
  const on = (id: string): string | undefined => state.panels.find((panel) => panel.devices.some((device) => device.id === id))?.id;
  const devices = of("devices").filter(on);
  const wires = finding.subjects.filter((one) => /^(circuits|feeders|serial|antennas|networks)\./.test(one));
  const wireways = of("wireways");
  if (wires.length || wireways.length) return { sheet: "wires", devices: [], wires, wireways };
  if (devices.length) return { sheet: on(devices[0])!, devices, wires: [], wireways: [] };
  const panel = of("panels").find((id) => state.panels.some((one) => one.id === id));
  return panel ? { sheet: panel, devices: [], wires: [], wireways: [] } : null;
}

export function items(findings: Finding[], press: (finding: Finding) => void): HTMLElement[] {
  return findings.map((finding) => {
    const item = document.createElement("li");
    item.className = finding.severity;
    const button = document.createElement("button");
    const code = document.createElement("b");
    code.textContent = `${word(finding.severity)} · ${finding.rule} `;
    button.append(code, finding.message);
    button.addEventListener("click", () => press(finding));
    item.append(button);
    for (const words of [finding.remedy, finding.at.file && finding.at.line ? t`${finding.at.file}, line ${finding.at.line}` : ""]) {
      if (!words) continue;
      const small = document.createElement("small");
      small.textContent = words;
      item.append(small);
    }
    return item;
  });
}
