export { compatibilityHtml, compatibilityTable } from "./pages/compatibility-table";
export { entryPage, type EntryPageOptions } from "./pages/entry-page";
export { catalogueIndexPage, cautionsPage, FAMILY_NAMES } from "./pages/list-page";
export { conditionText, figureText, unitText } from "./pages/value-text";
