const WIDTH = 140;

/**
 * An entry as the files of the catalogue are written: two spaces, short things on one line, a newline at the end.
 * Same entry, same bytes.
 */
export function formatEntry(entry: unknown): string {
  return `${format(entry, 0)}\n`;
}

function format(value: unknown, indent: number): string {
  const one = oneLine(value);
  const isObject = typeof value === "object" && value !== null && !Array.isArray(value);
  // The document itself and its list of values always open up, so that a change is one line.
  if (one.length + indent <= WIDTH && (!isObject || indent > 0)) return one;
  const pad = " ".repeat(indent + 2);
  const close = " ".repeat(indent);
  if (Array.isArray(value))
    return `[\n${value.map((item) => pad + format(item, indent + 2)).join(",\n")}\n${close}]`;
  if (isObject) {
    const lines = Object.entries(value).map(
      ([key, item]) => `${pad}${JSON.stringify(key)}: ${format(item, indent + 2)}`,
    );
    return `{\n${lines.join(",\n")}\n${close}}`;
  }
  return one;
}

function oneLine(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(oneLine).join(", ")}]`;
  if (typeof value === "object" && value !== null) {
    const parts = Object.entries(value).map(([key, item]) => `${JSON.stringify(key)}: ${oneLine(item)}`);
    return parts.length === 0 ? "{}" : `{ ${parts.join(", ")} }`;
  }
  return JSON.stringify(value) ?? "null";
}
