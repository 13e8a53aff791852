// What is written into a form and not sent yet survives a reload.

const PREFIX = "kept:";

/** Forms with data-keep: their texts are kept until the form is sent. */
export function keepForms() {
  for (const form of document.querySelectorAll("form[data-keep]")) {
    const key = `${PREFIX}${location.pathname}:${form.dataset.keep}`;
    const kept = JSON.parse(sessionStorage.getItem(key) ?? "{}");
    const isAnswered = document.querySelector("[aria-invalid=true], .note.alarm");
    for (const [name, text] of Object.entries(kept)) {
      const field = form.elements.namedItem(name);
      if (field && !isAnswered && "value" in field && field.type !== "hidden") field.value = text;
    }
    form.addEventListener("input", (event) => {
      const { name, value, type } = event.target;
      if (!name || type === "checkbox") return;
      kept[name] = value;
      sessionStorage.setItem(key, JSON.stringify(kept));
    });
    form.addEventListener("submit", () => sessionStorage.removeItem(key));
  }
}
