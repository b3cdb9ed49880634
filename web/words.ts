// The page's own words in the project's language: the server lays the list of them into the page.

const said: Record<string, string> = JSON.parse(document.getElementById("words")?.textContent || "{}");

/** A text as it is said; a translation may have its values in another order: {1} before {0}. */
export function t(parts: TemplateStringsArray, ...values: unknown[]): string {
  const english = parts.join("{}");
  const text = said[english] ?? english;
  let next = 0;
  return text.replace(/\{(\d*)\}/g, (_, place: string) => String(values[place ? Number(place) : next++]));
}

/** A single word that comes from elsewhere: the name of a layer, a side, how grave a finding is. */
export const word = (english: string): string => said[english] ?? english;

/** Say what stands in the page from the beginning. */
export function sayAll(root: HTMLElement): void {
  const walk = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const node = walk.currentNode;
    const text = node.textContent!.trim();
    if (text && said[text]) node.textContent = node.textContent!.replace(text, said[text]);
  }
  for (const part of root.querySelectorAll("[aria-label]")) part.setAttribute("aria-label", word(part.getAttribute("aria-label")!));
}
