/** Text made harmless inside HTML and SVG. */
export function escapeHtml(text: unknown): string {
  return String(text).replace(/[&<>"']/g, (c) => `&#${c.charCodeAt(0)};`);
}

/** A number with at most `digits` decimals, trailing zeros dropped, the same in every locale. */
export function num(value: number, digits = 1): string {
  if (!Number.isFinite(value)) return "–";
  const text = value.toFixed(digits);
  return digits > 0 ? text.replace(/\.?0+$/, "") : text;
}

/** A fraction as percent. */
export function percent(fraction: number, digits = 1): string {
  return `${num(fraction * 100, digits)} %`;
}

/** A table; cells are HTML already. */
export function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const cells = (row: readonly string[]): string => row.map((cell) => `<td>${cell}</td>`).join("");
  return (
    `<div class="wide"><table><thead><tr>${head.map((h) => `<th scope="col">${h}</th>`).join("")}</tr></thead><tbody>` +
    `${rows.map((row) => `<tr>${cells(row)}</tr>`).join("")}</tbody></table></div>`
  );
}

/** A figure with a caption; content is HTML already. */
export function figure(content: string, caption: string): string {
  return `<figure>${content}<figcaption>${escapeHtml(caption)}</figcaption></figure>`;
}

/** Name of a panel by its id. */
export function panelName(
  panels: readonly { readonly id: string; readonly name: string }[],
  id: string,
): string {
  return panels.find((panel) => panel.id === id)?.name ?? id;
}

/** SVG inside HTML: no XML prolog, and a width that follows the page. */
export function inlineSvg(svg: string): string {
  return svg
    .replace(/^<\?xml[^>]*\?>\s*/, "")
    .replace(
      /<svg([^>]*)>/,
      (_, attributes: string) =>
        `<svg${attributes.replace(/ (width|height)="[^"]*"/g, "")} style="max-height:34rem;width:100%">`,
    );
}

/** A chapter of the workbook. */
export interface Section {
  readonly id: string;
  readonly title: string;
  /** HTML. */
  readonly body: string;
}

const STYLE = `
:root{color-scheme:light;--ink:#1d2a30;--soft:#5a6a72;--line:#cfd8da;--tint:#f3f6f5;--warn:#8a4b00;--stop:#9c1c1c}
*{box-sizing:border-box}
body{margin:0;color:var(--ink);background:#fff;font:16px/1.5 system-ui,"DejaVu Sans",sans-serif}
main{max-width:60rem;margin:0 auto;padding:1.5rem 1rem 4rem}
h1{font-size:1.9rem;line-height:1.2;margin:.5rem 0}
h2{font-size:1.35rem;margin:2.6rem 0 .6rem;padding-top:.6rem;border-top:2px solid var(--ink)}
h3{font-size:1.08rem;margin:1.6rem 0 .4rem}
nav ol{columns:2;padding-left:1.3rem}
a{color:inherit}
.wide{overflow-x:auto}
table{border-collapse:collapse;width:100%;font-size:.92rem}
th,td{text-align:left;vertical-align:top;padding:.35rem .6rem .35rem 0;border-bottom:1px solid var(--line)}
figure{margin:1rem 0;break-inside:avoid}
figure img,figure svg{max-width:100%;height:auto;display:block}
figcaption{color:var(--soft);font-size:.88rem;margin-top:.3rem}
.row{display:flex;flex-wrap:wrap;gap:1rem}.row>figure{flex:1 1 11rem;margin:.5rem 0}
.caution{border-left:4px solid var(--warn);background:var(--tint);padding:.5rem .9rem;margin:.7rem 0;break-inside:avoid}
.stop{border-left-color:var(--stop)}
.caution b{color:var(--warn)}.stop b{color:var(--stop)}
.soft{color:var(--soft)}
ol.steps>li{margin:.45rem 0;padding-left:.2rem;break-inside:avoid}
ol.steps>li::marker{font-weight:700}
@media(max-width:34rem){nav ol{columns:1}.wide td,.wide th{min-width:5.5rem}}
@media print{body{font-size:10pt}h2,h3,h4,h2+p{break-after:avoid}h2+p{break-inside:avoid}nav{display:none}main{max-width:none;padding:0}
.row{flex-wrap:nowrap;gap:.5rem;break-inside:avoid}.row>figure{flex:1 1 0;min-width:0}figure svg,figure img{max-height:10.5cm!important}}
`;

/** One self-contained page. */
export function htmlPage(title: string, lead: string, sections: readonly Section[], language = "en"): string {
  const contents = sections.map((s) => `<li><a href="#${s.id}">${escapeHtml(s.title)}</a></li>`).join("");
  const chapters = sections
    .map((s) => `<section id="${s.id}"><h2>${escapeHtml(s.title)}</h2>${s.body}</section>`)
    .join("\n");
  return `<!doctype html>
<html lang="${language}"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1">
<title>${escapeHtml(title)}</title><style>${STYLE}</style></head>
<body><main><h1>${escapeHtml(title)}</h1>${lead}<nav aria-label="Contents"><ol>${contents}</ol></nav>
${chapters}
</main></body></html>
`;
}
