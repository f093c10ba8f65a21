import { defineAsyncComponent } from "vue";
import DefaultTheme from "vitepress/theme";
import type { Theme } from "vitepress";
import CatalogueTable from "./live/CatalogueTable.vue";
import GlueTable from "./live/GlueTable.vue";
import "./style.css";

// Live figures come on demand: no page pays for a package that it does not run.
const figures = {
  LegFigure: () => import("./live/LegFigure.vue"),
  DropFigure: () => import("./live/DropFigure.vue"),
  SeamFigure: () => import("./live/SeamFigure.vue"),
  StrainFigure: () => import("./live/StrainFigure.vue"),
  PressureFigure: () => import("./live/PressureFigure.vue"),
  PrintFigure: () => import("./live/PrintFigure.vue"),
};

export default {
  extends: DefaultTheme,
  enhanceApp({ app }) {
    app.component("CatalogueTable", CatalogueTable);
    app.component("GlueTable", GlueTable);
    for (const [name, load] of Object.entries(figures)) app.component(name, defineAsyncComponent(load));
  },
} satisfies Theme;
