import { describe, expect, it } from "vitest";
import { catalogue, gluedAdhesives, gluedSubstrates, material, type MaterialEntry } from "../src/index";
import { bannedWords } from "../src/lint";
import {
  catalogueIndexPage,
  cautionsPage,
  compatibilityHtml,
  compatibilityTable,
  conditionText,
  entryPage,
  figureText,
} from "../src/pages";

describe("pages", () => {
  it("entryPage › every entry renders, cites every source it numbers, says its unknowns, promises nothing [oracle: invariant]", () => {
    for (const entry of catalogue) {
      const page = entryPage(entry);
      expect(page.startsWith(`# ${entry.name[0]}`)).toBe(true);
      expect(page).not.toMatch(/undefined|NaN|\[object/);
      expect(bannedWords(page)).toEqual([]);
      const cited = [...page.split("## Sources")[0]!.matchAll(/\[(\d+)\]/g)].map(([, number]) =>
        Number(number),
      );
      const listed = page.includes("## Sources")
        ? [...page.split("## Sources")[1]!.matchAll(/^\d+\. /gm)].length
        : 0;
      expect(Math.max(0, ...cited)).toBe(listed);
      expect(page).toContain("label comes first");
    }
  });

  it("entryPage › same entry, same bytes; refuses an unknown id [oracle: metamorphic]", () => {
    expect(entryPage("eva-foam")).toBe(entryPage(material("eva-foam")));
    expect(() => entryPage("eva-fome")).toThrow(/eva-foam/);
  });

  it("entryPage › marks in a name cannot break the page [oracle: failing input]", () => {
    const odd = { ...material("eva-foam"), name: "<b>| `x` [y](z)", notes: ["a | b\n# c"] } as MaterialEntry;
    const page = entryPage(odd);
    expect(page).not.toContain("<b>");
    expect(page).toContain("a \\| b \\# c");
  });

  it("compatibilityTable › 17 rows of 22 ratings, in Markdown and HTML [oracle: invariant]", () => {
    const rows = compatibilityTable()
      .split("\n")
      .filter((line) => line.startsWith("|"));
    expect(rows).toHaveLength(gluedAdhesives.length + 2);
    for (const row of rows) expect(row.split(" | ")).toHaveLength(gluedSubstrates.length + 1);
    const html = compatibilityHtml();
    expect(html.match(/<td class="rating-/g)).toHaveLength(17 * 22);
    expect(html.match(/rating-damages/g)!.length).toBeGreaterThanOrEqual(21);
  });

  it("catalogueIndexPage, cautionsPage › hold every entry and caution [oracle: invariant]", () => {
    const index = catalogueIndexPage((id) => `/m/${id}`);
    for (const { id } of catalogue) expect(index).toContain(`(/m/${id})`);
    expect(bannedWords(cautionsPage())).toEqual([]);
  });

  it("figureText › ranges, single figures and bounds [oracle: by hand]", () => {
    const value = (figures: object) =>
      figureText({
        unit: "g/m2",
        method: "memory",
        source: "memory",
        grade: "M",
        status: "unconfirmed",
        ...figures,
      });
    expect(value({ min: 160, max: 280 })).toBe("160 to 280 g/m²");
    expect(value({ typical: 200, min: 160, max: 280 })).toBe("200 (160 to 280) g/m²");
    expect(value({ max: 80 })).toBe("at most 80 g/m²");
    expect(value({ min: 5 })).toBe("at least 5 g/m²");
    expect(value({ min: 5, max: 5 })).toBe("5 g/m²");
    const edition = {
      unit: "1",
      method: "memory",
      source: "memory",
      grade: "M",
      status: "unconfirmed",
    } as const;
    expect(conditionText({ ...edition, conditions: { hours: 72, edition: 2014 } })).toBe("72 h, 2014");
  });
});
