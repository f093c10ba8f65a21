import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { parse } from "yaml";
import * as z from "zod";
import { projectJsonSchema } from "../src/project/project-json-schema";
import { projectTemplate } from "../src/project/project-template";
import { projectSchema } from "../src/project/schema";

const published = JSON.parse(
  readFileSync(new URL("../schemas/project.schema.json", import.meta.url), "utf8"),
) as Record<string, unknown>;
const example = parse(
  readFileSync(new URL("../../../docs/examples/100-moor-hare/moor-hare.yaml", import.meta.url), "utf8"),
) as Record<string, unknown>;

describe("the published JSON Schema of the project file", () => {
  it("is the one that the code makes [invariant: run npm run schema after a change]", () => {
    expect(published).toEqual(JSON.parse(JSON.stringify(projectJsonSchema())));
  });

  it("says yes and no as the reader does [independent computation: the schema read back by a second validator]", () => {
    const second = z.fromJSONSchema(published as Parameters<typeof z.fromJSONSchema>[0]);
    const good = [example, parse(projectTemplate()) as Record<string, unknown>];
    const bad = [
      { ...example, peltry: 2 },
      { ...example, colour: "grey" },
      { ...example, parts: [] },
      { ...example, name: "" },
      { ...example, allowance: { seamMm: 61 } },
      { ...example, paper: { sizes: [] } },
      { ...example, fabrics: { coat: { name: "Coat", pieces: [] } } },
      { ...example, parts: [{ id: "Hind leg", name: "Hind leg", kind: "leg", fabrics: {} }] },
      { ...example, parts: [{ id: "tail", name: "Tail", kind: "sail", fabrics: {} }] },
    ];
    for (const value of good) {
      expect(projectSchema.safeParse(value).success).toBe(true);
      expect(second.safeParse(value).success).toBe(true);
    }
    for (const value of bad) {
      expect(projectSchema.safeParse(value).success).toBe(false);
      expect(second.safeParse(value).success).toBe(false);
    }
  });

  it("lets a person leave out what has a default", () => {
    const parts = (published["properties"] as { parts: { items: { oneOf?: unknown[]; anyOf?: unknown[] } } })
      .parts.items;
    const kinds = (parts.oneOf ?? parts.anyOf) as { required: string[] }[];
    expect(kinds.length).toBeGreaterThanOrEqual(3);
    for (const kind of kinds) expect(kind.required).not.toContain("pair");
  });
});
