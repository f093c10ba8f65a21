import { createServer } from "node:http";
import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { createRequire } from "node:module";
import { extname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { chromium, type Browser, type Page } from "playwright-core";

// Loads the built site in a real browser: every page without console errors, outside requests or barriers (WCAG 2.1 A and AA
// by axe-core), every live figure reacts, the home page is small and soon ready.

const site = fileURLToPath(new URL("../.vitepress/dist/", import.meta.url));
const scan = fileURLToPath(new URL("../../test-fixtures/leg-scan/scan-20k.ply", import.meta.url));
const axe = createRequire(import.meta.url).resolve("axe-core/axe.min.js");
const HOME_BUDGET = 300_000;
const TYPES: Record<string, string> = {
  ".html": "text/html",
  ".js": "text/javascript",
  ".css": "text/css",
  ".svg": "image/svg+xml",
  ".json": "application/json",
  ".woff2": "font/woff2",
  ".png": "image/png",
};

const faults: string[] = [];
let sent = 0;

const server = createServer((request, response) => {
  const path = decodeURIComponent(new URL(request.url ?? "/", "http://localhost").pathname);
  const file = [join(site, path), join(site, `${path}.html`), join(site, path, "index.html")].find(
    (one) => one.startsWith(site) && existsSync(one) && statSync(one).isFile(),
  );
  if (!file) {
    response.writeHead(path === "/favicon.ico" ? 204 : 404).end();
    return;
  }
  const body = gzipSync(readFileSync(file), { level: 6 });
  sent += body.length;
  response
    .writeHead(200, {
      "content-type": TYPES[extname(file)] ?? "application/octet-stream",
      "content-encoding": "gzip",
    })
    .end(body);
});

/** Addresses of all built pages. Materials and reference are many and alike: every twelfth unless `--all` is given. */
function pages(): string[] {
  const walk = (folder: string): string[] =>
    readdirSync(join(site, folder), { withFileTypes: true }).flatMap((item) =>
      item.isDirectory()
        ? walk(`${folder}${item.name}/`)
        : item.name.endsWith(".html")
          ? [`${folder}${item.name}`]
          : [],
    );
  const all = walk("")
    .sort()
    .filter((name) => name !== "404.html");
  const kept = process.argv.includes("--all")
    ? all
    : all.filter(
        (name, i) =>
          !/^(api|materials)\//.test(name) || /(index|glue|cautions)\.html$/.test(name) || i % 12 === 0,
      );
  return kept.map((name) => `/${name.replace(/(index)?\.html$/, "")}`);
}

async function openPage(browser: Browser, width: number, base: string): Promise<Page> {
  const page = await browser.newPage({ viewport: { width, height: 900 }, acceptDownloads: true });
  page.on("console", (message) => {
    if (message.type() === "error") faults.push(`${page.url()}: console: ${message.text()}`);
  });
  page.on("pageerror", (error) => faults.push(`${page.url()}: ${error.message}`));
  page.on("request", (request) => {
    if (!/^(data|blob):/.test(request.url()) && !request.url().startsWith(base)) {
      faults.push(`${page.url()}: asks ${request.url()}`);
    }
  });
  return page;
}

/** Names for all controls and pictures, one main heading, no sideways scroll. */
async function checkPage(page: Page): Promise<void> {
  const found = await page.evaluate(() => {
    const list: string[] = [];
    for (const image of document.querySelectorAll(".vp-doc img")) {
      if (!image.getAttribute("alt")) list.push("a picture without words");
    }
    for (const input of document.querySelectorAll(".live input, .live select")) {
      if (!(input as HTMLInputElement).labels?.length) list.push("a control without a label");
    }
    for (const canvas of document.querySelectorAll("canvas")) {
      if (!canvas.getAttribute("aria-label")) list.push("a canvas without a name");
    }
    if (document.querySelectorAll("h1").length !== 1)
      list.push(`${document.querySelectorAll("h1").length} main headings`);
    if (!document.documentElement.lang) list.push("no language");
    const over = document.documentElement.scrollWidth - window.innerWidth;
    if (over > 1) list.push(`scrolls sideways by ${over} px at ${window.innerWidth} px`);
    return list;
  });
  for (const fault of new Set(found)) faults.push(`${page.url()}: ${fault}`);
}

interface Barrier {
  readonly id: string;
  readonly help: string;
  readonly nodes: readonly { readonly target: readonly unknown[] }[];
}

/** Barriers by the rules of WCAG 2.1, levels A and AA. */
async function checkBarriers(page: Page): Promise<void> {
  await page.addScriptTag({ path: axe });
  const found = await page.evaluate(async () => {
    const { run } = (
      globalThis as unknown as {
        axe: { run: (a: Document, b: object) => Promise<{ violations: Barrier[] }> };
      }
    ).axe;
    const options = {
      runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"],
      // Still an experiment of axe-core: it takes the key signs on the theme's search button for words of its name.
      rules: { "label-content-name-mismatch": { enabled: false } },
    };
    return (await run(document, options)).violations;
  });
  for (const { id, help, nodes } of found) {
    faults.push(`${page.url()}: ${id}: ${help} (${nodes.length}, first ${String(nodes[0].target)})`);
  }
}

async function visitAll(browser: Browser, base: string): Promise<number> {
  const list = pages();
  for (const width of [1280, 360]) {
    const page = await openPage(browser, width, base);
    for (const path of width === 360 ? list.filter((one) => !one.startsWith("/api/")) : list) {
      const answer = await page.goto(base + path, { waitUntil: "networkidle" });
      if (answer?.status() !== 200) faults.push(`${path}: status ${answer?.status()}`);
      await checkPage(page);
      if (!path.startsWith("/api/")) await checkBarriers(page);
    }
    await page.close();
  }
  return list.length;
}

/** Moves a slider by keyboard and waits for other words. */
async function slides(page: Page, figure: string, slider: number, key: string): Promise<void> {
  const said = page.locator(`[data-live=${figure}] .said`);
  await said.filter({ hasText: /\d/ }).waitFor({ timeout: 20_000 });
  const before = await said.innerText();
  await page.locator(`[data-live=${figure}] input[type=range]`).nth(slider).focus();
  for (let i = 0; i < 4; i++) await page.keyboard.press(key);
  try {
    await page.waitForFunction(
      ([name, old]) => document.querySelector(`[data-live=${name}] .said`)?.textContent?.trim() !== old,
      [figure, before.trim()],
      { timeout: 20_000 },
    );
  } catch {
    faults.push(`${figure}: slider ${slider} changes nothing`);
  }
}

async function checkFigures(browser: Browser, base: string): Promise<void> {
  const page = await openPage(browser, 1280, base);
  const go = (path: string) => page.goto(`${base}/examples/${path}/`, { waitUntil: "networkidle" });
  await go("020-pads-on-a-leg");
  await slides(page, "leg", 0, "ArrowLeft");
  await slides(page, "leg", 1, "ArrowRight");
  await go("060-three-fabrics");
  await slides(page, "strain", 1, "ArrowRight");
  await go("050-why-a-dart");
  const cuts = page.locator("[data-live=seam] .cuts li");
  await cuts.first().waitFor({ timeout: 60_000 });
  // The same words can come back for a cut elsewhere: the picture tells.
  const drawn = (): Promise<string> =>
    page
      .locator("[data-live=seam] canvas")
      .first()
      .evaluate((one: HTMLCanvasElement) => one.toDataURL());
  const before = await drawn();
  await page
    .getByRole("button", { name: /^Not here/ })
    .first()
    .click();
  await page.locator("[data-live=seam] .said", { hasText: "Planning" }).waitFor({ timeout: 10_000 });
  await cuts.first().waitFor({ timeout: 60_000 });
  if ((await drawn()) === before) faults.push("seam: a refused cut comes back in its place");
  await page.getByRole("button", { name: /^Keep/ }).first().click();
  await cuts.filter({ hasText: "locked" }).first().waitFor({ timeout: 60_000 });
  await go("080-stretch-sleeve");
  await slides(page, "pressure", 0, "ArrowRight");

  await go("030-scan-with-lines");
  await page.locator("[data-live=drop] input[type=file]").setInputFiles(scan);
  await page.locator("[data-live=drop] .said", { hasText: "panel" }).waitFor({ timeout: 60_000 });

  await go("140-print-check");
  const waiting = page.waitForEvent("download", { timeout: 60_000 });
  await page.locator("[data-live=print] button").click();
  const file = await (await waiting).path();
  const pdf = readFileSync(file).toString("latin1");
  // A4 in points: 210 / 25.4 × 72 (ISO 216).
  const width = Number(/\/MediaBox\s*\[\s*0\s+0\s+([\d.]+)/.exec(pdf)?.[1]);
  const portrait = Math.abs(width - (210 / 25.4) * 72) < 0.1;
  const landscape = Math.abs(width - (297 / 25.4) * 72) < 0.1;
  if (!pdf.startsWith("%PDF-") || !(portrait || landscape))
    faults.push(`the downloaded PDF is ${width} points wide`);
  await page.locator("[data-live=print] input[type=number]").fill("75");
  await page.locator("[data-live=print] .answer", { hasText: "96" }).waitFor({ timeout: 10_000 });

  await page.goto(`${base}/materials/`, { waitUntil: "networkidle" });
  await page.locator("[data-live=catalogue] input").fill("hot glue");
  await page.locator(".found li").first().waitFor({ timeout: 10_000 });
  await page.goto(`${base}/materials/glue`, { waitUntil: "networkidle" });
  await page.locator("[data-live=glue] select").first().selectOption({ index: 1 });
  await page.locator(".found li").first().waitFor({ timeout: 10_000 });
  await page.close();
}

async function checkHomeSize(browser: Browser, base: string): Promise<number> {
  const page = await openPage(browser, 1280, base);
  sent = 0;
  await page.goto(`${base}/`, { waitUntil: "load" });
  const size = sent;
  if (size > HOME_BUDGET) faults.push(`the home page needs ${size} bytes, more than ${HOME_BUDGET}`);
  await page.close();
  return size;
}

if (!existsSync(join(site, "index.html"))) throw new Error("Build the site first: npm run docs");
await new Promise<void>((done) => server.listen(0, "127.0.0.1", done));
const { port } = server.address() as { port: number };
const base = `http://127.0.0.1:${port}`;
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--use-gl=swiftshader", "--enable-unsafe-swiftshader"],
});
try {
  const home = await checkHomeSize(browser, base);
  await checkFigures(browser, base);
  const count = await visitAll(browser, base);
  console.log(`${count} pages, home ${Math.round(home / 1000)} kB compressed, ${faults.length} faults`);
} finally {
  await browser.close();
  server.close();
}
for (const fault of faults) console.error(fault);
if (faults.length > 0) process.exitCode = 1;
