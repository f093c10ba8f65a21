import { PDFDocument, PDFName, PDFHexString, PDFString, type PDFContext, type PDFRef } from "@cantoo/pdf-lib";
import type { Issue } from "@peltry/issues";
import { utf8 } from "../internal/utf8";
import { LAYERS } from "../layers";
import { openFont, type DocumentFont } from "./fonts";
import { pageContent, POINTS_PER_MM, type PageDrawing, type TaggedContent, type Theme } from "./page-content";

/** What a document is called and written in. */
export interface DocumentInfo {
  readonly title: string;
  readonly language: string;
  readonly font?: Uint8Array | undefined;
}

/** A PDF being made: font first (texts are measured with it), then the pages, then the bytes. */
export interface PdfMaker {
  readonly font: DocumentFont;
  readonly write: (
    pages: readonly PageDrawing[],
    theme: Theme,
  ) => Promise<{ bytes: Uint8Array; issues: Issue[] }>;
}

/** Opens a new document. Its bytes depend on what is drawn alone: no clock, no random names. */
export async function createPdf(info: DocumentInfo): Promise<PdfMaker> {
  const document = await PDFDocument.create({ updateMetadata: false });
  const font = await openFont(document, info.font);
  return {
    font,
    write: async (pages, theme) => {
      const { context } = document;
      describe(document, info);
      const layers = addLayers(context, document);
      const tagged = pages.map((page) => {
        const content = pageContent(page, font, theme);
        return { page, content, ref: addPage(document, page, content, font, layers) };
      });
      addTags(document, tagged);
      labelPages(document, pages);
      // The fonts are only built when the document is saved; that is when their bytes are made.
      const bytes = await document.save({
        useObjectStreams: true,
        addDefaultPage: false,
        updateFieldAppearances: false,
        objectsPerTick: Infinity,
      });
      return { bytes, issues: font.issues() };
    },
  };
}

function describe(document: PDFDocument, info: DocumentInfo): void {
  document.setTitle(String(info.title), { showInWindowTitleBar: true });
  document.setLanguage(String(info.language));
  document.setCreator("@peltry/print");
  document.setProducer("@peltry/print");
  const { context, catalog } = document;
  catalog.set(
    PDFName.of("ViewerPreferences"),
    context.obj({ PrintScaling: "None", DisplayDocTitle: true, PickTrayByPDFSize: true }),
  );
  catalog.set(PDFName.of("MarkInfo"), context.obj({ Marked: true }));
}

/** One optional-content group a layer: a viewer lists them and switches each. */
function addLayers(context: PDFContext, document: PDFDocument): Map<string, PDFRef> {
  const groups = new Map<string, PDFRef>();
  for (const layer of LAYERS) {
    const group = context.obj({ Type: "OCG", Intent: "View" });
    group.set(PDFName.of("Name"), PDFString.of(layer.name));
    groups.set(layer.id, context.register(group));
  }
  const all = [...groups.values()];
  document.catalog.set(
    PDFName.of("OCProperties"),
    context.obj({ OCGs: all, D: { Order: all, ON: all, BaseState: "ON", ListMode: "AllPages" } }),
  );
  return groups;
}

function addPage(
  document: PDFDocument,
  page: PageDrawing,
  content: TaggedContent,
  font: DocumentFont,
  layers: ReadonlyMap<string, PDFRef>,
): PDFRef {
  const { context } = document;
  const size: [number, number] = [exact(page.width * POINTS_PER_MM), exact(page.height * POINTS_PER_MM)];
  const leaf = document.addPage(size);
  const box = context.obj([0, 0, ...size]);
  for (const name of ["MediaBox", "CropBox", "BleedBox", "TrimBox", "ArtBox"])
    leaf.node.set(PDFName.of(name), box);
  leaf.node.set(PDFName.of("Contents"), context.register(context.flateStream(utf8(content.operators))));
  leaf.node.set(
    PDFName.of("Resources"),
    context.obj({ Font: { F: font.font.ref }, Properties: Object.fromEntries(layers) }),
  );
  leaf.node.set(PDFName.of("Tabs"), PDFName.of("S"));
  return leaf.ref;
}

/** Document → one section a page → the drawing as a figure with its words, then the texts as paragraphs. */
function addTags(
  document: PDFDocument,
  pages: readonly { page: PageDrawing; content: TaggedContent; ref: PDFRef }[],
): void {
  const { context, catalog } = document;
  const root = context.nextRef();
  const top = context.nextRef();
  const parents: (number | PDFRef)[] = [];
  const sections = pages.map(({ page, content, ref }, index) => {
    const section = context.nextRef();
    const owner: PDFRef[] = [];
    const kids: PDFRef[] = [];
    const add = (type: string, ids: readonly number[], alt?: string): void => {
      const element = context.obj({ Type: "StructElem", S: type, P: section, Pg: ref, K: [...ids] });
      if (alt !== undefined) element.set(PDFName.of("Alt"), PDFHexString.fromText(alt));
      const at = context.register(element);
      kids.push(at);
      for (const id of ids) owner[id] = at;
    };
    if (content.figure.length > 0) add("Figure", content.figure, page.alt);
    for (const id of content.texts) add("P", [id]);
    const element = context.obj({ Type: "StructElem", S: "Sect", P: top, Pg: ref, K: kids });
    element.set(PDFName.of("T"), PDFHexString.fromText(page.label));
    context.assign(section, element);
    parents.push(index, context.register(context.obj(owner)));
    document.getPage(index).node.set(PDFName.of("StructParents"), context.obj(index));
    return section;
  });
  context.assign(top, context.obj({ Type: "StructElem", S: "Document", P: root, K: sections }));
  context.assign(
    root,
    context.obj({
      Type: "StructTreeRoot",
      K: [top],
      ParentTree: { Nums: parents },
      ParentTreeNextKey: pages.length,
    }),
  );
  catalog.set(PDFName.of("StructTreeRoot"), root);
}

function labelPages(document: PDFDocument, pages: readonly PageDrawing[]): void {
  const { context } = document;
  const numbers = pages.flatMap((page, i) => [i, context.obj({ P: PDFHexString.fromText(page.label) })]);
  document.catalog.set(PDFName.of("PageLabels"), context.obj({ Nums: numbers }));
}

// A hundred-thousandth of a point is far below what any printer places.
function exact(points: number): number {
  return Math.round(points * 1e5) / 1e5;
}
