// Fields of the model: each change is written at once; what is wrong is said beside the field and nothing is lost.
import { again, modelPath, say, sentences, stand, tell } from "./ask.js";

const draftKey = (field) => `draft:${modelPath()}${field.dataset.file}:${field.dataset.keys}`;
const queue = { last: Promise.resolve() };

const value = (field) => {
  const input = field.querySelector(".value");
  return input.type === "checkbox" ? (input.checked ? "on" : "") : input.value;
};
const part = (field, name) => field.querySelector(`.${name}`)?.value ?? "";
const told = (field) => ({
  text: value(field), grade: part(field, "grade"), low: part(field, "low"), high: part(field, "high"),
  because: part(field, "because"),
});

function showError(field, words) {
  const error = field.querySelector(".error");
  error.hidden = !words;
  error.querySelector(".what").textContent = words;
  field.classList.toggle("wrong", Boolean(words));
  const input = field.querySelector(".value");
  if (words) input.setAttribute("aria-invalid", "true");
  else input.removeAttribute("aria-invalid");
}

const keep = (field) => localStorage.setItem(draftKey(field), JSON.stringify(told(field)));

async function write(field) {
  const sent = told(field);
  const { status, body } = await tell(`${modelPath()}set`, {
    ...sent, file: field.dataset.file, keys: JSON.parse(field.dataset.keys), kind: field.dataset.kind,
    base_grade: field.dataset.baseGrade, was: JSON.parse(field.dataset.was), revision: document.body.dataset.revision,
  });
  if (status === 200) {
    field.dataset.was = JSON.stringify(body.was);
    stand(body);
    showError(field, "");
    field.classList.remove("unsaved");
    localStorage.removeItem(draftKey(field));
    mark(field, "✓");
    say(`Saved: ${body.words}`);
  } else {
    field.classList.add("unsaved");
    keep(field);
    showError(field, sentences(body));
    if (status === 409) offerReload(field);
  }
}

function offerReload(field) {
  const error = field.querySelector(".error");
  if (error.querySelector("button")) return;
  const button = document.createElement("button");
  button.type = "button";
  button.className = "quiet";
  button.textContent = "Load the page again";
  button.addEventListener("click", () => { localStorage.removeItem(draftKey(field)); again(""); });
  error.append(" ", button);
}

function mark(field, sign) {
  const place = field.querySelector(".saved");
  if (!place) return;
  place.textContent = sign;
  window.setTimeout(() => { place.textContent = ""; }, 2500);
}

// one change after the other: each one sends the revision that the one before left
const enqueue = (work) => { queue.last = queue.last.then(work, work); };

/** Make the fields inside an element write, and bring back what was written into them and not saved. */
function bind(root) {
  for (const field of root.querySelectorAll(".field[data-keys]")) {
    field.addEventListener("input", () => { field.classList.add("unsaved"); keep(field); });
    field.addEventListener("change", (event) => {
      // a number that is not known yet has no grade to write
      if (event.target.matches(".grade, .low, .high, .because") && !value(field)) return;
      enqueue(() => write(field));
    });
    const draft = JSON.parse(localStorage.getItem(draftKey(field)) ?? "null");
    if (draft) restore(field, draft);
  }
  for (const button of root.querySelectorAll("button.remove")) {
    button.addEventListener("click", () => enqueue(() => remove(button)));
  }
}

/** The fields of one of several tables come when it is opened. */
async function fill(table) {
  const inside = table.querySelector(".inside");
  if (inside.childElementCount > 0 || table.dataset.asked) return;
  table.dataset.asked = "yes";
  try {
    const answer = await fetch(table.dataset.fields, { headers: { accept: "text/html" } });
    if (!answer.ok) throw new Error(answer.statusText);
    inside.innerHTML = await answer.text();
    bind(inside);
  } catch {
    say("The program does not answer. Is it still running?");
  }
  delete table.dataset.asked;
}

for (const table of document.querySelectorAll("details[data-fields]")) {
  table.addEventListener("toggle", () => { if (table.open) fill(table); });
  // the keys of a draft begin as those of its table, without the bracket that ends them
  const start = `draft:${modelPath()}${table.dataset.draft.slice(0, -1)},`;
  const isWaiting = Object.keys(localStorage).some((key) => key.startsWith(start));
  if (isWaiting) table.open = true;
  if (table.open) fill(table);
}

function restore(field, draft) {
  const now = told(field);
  if (JSON.stringify(now) === JSON.stringify(draft)) {
    localStorage.removeItem(draftKey(field));
    return;
  }
  const input = field.querySelector(".value");
  if (input.type === "checkbox") input.checked = Boolean(draft.text);
  else input.value = draft.text;
  for (const name of ["grade", "low", "high", "because"]) {
    const one = field.querySelector(`.${name}`);
    if (one) one.value = draft[name];
  }
  field.classList.add("unsaved");
  showError(field, "not saved yet: this is what you wrote before the page was loaded again; change it or press Enter");
}

document.addEventListener("keydown", (event) => {
  const field = event.target.closest?.(".field[data-keys]");
  if (event.key === "Enter" && field?.classList.contains("unsaved") && event.target.matches("input")) enqueue(() => write(field));
});

async function remove(button) {
  const { status, body } = await tell(`${modelPath()}remove`, {
    file: button.dataset.file, keys: JSON.parse(button.dataset.keys), revision: document.body.dataset.revision,
  });
  if (status === 200) again(`${body.words}; undo brings it back`);
  else say(sentences(body));
}

bind(document);

for (const form of document.querySelectorAll("form.add")) {
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const fields = {};
    for (const field of form.querySelectorAll("[data-new]")) {
      showError(field, "");
      fields[field.dataset.new] = { kind: field.dataset.kind, text: value(field) };
    }
    const { status, body } = await tell(`${modelPath()}add`, { file: form.dataset.file, table: form.dataset.table, fields });
    if (status === 200) { again(`added: ${body.words}`); return; }
    const rest = [];
    for (const one of body.errors ?? []) {
      const field = [...form.querySelectorAll("[data-new]")].find((own) => one.where.endsWith(own.dataset.new));
      if (field) showError(field, one.message);
      else rest.push(one);
    }
    const error = form.querySelector(":scope > .error");
    error.hidden = rest.length === 0;
    error.querySelector(".what").textContent = sentences({ errors: rest });
    form.querySelector("[aria-invalid]")?.focus();
  });
}
