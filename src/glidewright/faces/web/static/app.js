// The entry of every page: only what the page has is loaded.
import { followReport } from "./report.js";
import { keepForms } from "./keep.js";
import { steps } from "./ask.js";
import { tellForms } from "./tellforms.js";

followReport(document.querySelector("#report"));
keepForms();
steps();
tellForms();
if (document.querySelector("[data-keys], [data-fields], form.add")) import("./fields.js");
const panel = document.querySelector("#panel");
if (panel?.querySelector("[data-drag]")) import("./drag.js").then((module) => module.start(panel));
if (panel?.querySelector("[data-sliders]")) import("./sliders.js").then((module) => module.start(panel));

// a link to a section that is folded unfolds it
document.addEventListener("click", (event) => {
  const link = event.target.closest?.("a[href^='#']");
  const folded = link && document.getElementById(link.hash.slice(1))?.querySelector(":scope > details");
  if (folded) folded.open = true;
});

// on a narrow screen the list of pages is closed until it is asked for
const pages = document.querySelector("#pages");
pages?.addEventListener("click", () => {
  const isOpen = document.querySelector("#page-list").classList.toggle("open");
  pages.setAttribute("aria-expanded", String(isOpen));
});
