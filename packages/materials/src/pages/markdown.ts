/** Text that stands in Markdown as it is, also in a table cell. */
export function escapeMarkdown(text: string): string {
  return text
    .replace(/[\\`*_{}[\]<>#|~]/g, (mark) => (mark === "<" ? "&lt;" : mark === ">" ? "&gt;" : `\\${mark}`))
    .replace(/\s+/g, " ");
}

/** A Markdown table; cells are Markdown already. */
export function markdownTable(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]) => `| ${cells.join(" | ")} |`;
  return [line(head), line(head.map(() => "---")), ...rows.map(line)].join("\n");
}

/** A bulleted list. */
export function markdownList(items: readonly string[]): string {
  return items.map((item) => `- ${item}`).join("\n");
}

/** A link, or the text alone where there is no address. */
export function markdownLink(text: string, url: string | undefined): string {
  return url === undefined
    ? escapeMarkdown(text)
    : `[${escapeMarkdown(text)}](${url.replace(/[()\s]/g, encodeURIComponent)})`;
}
