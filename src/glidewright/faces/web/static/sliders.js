// Power and launch: while a slider moves, numbers rewrite the lines of the standing picture; at rest it is drawn anew.
import { again, modelPath, say, sentences, tell } from "./ask.js";
import { newest, numbers, showOutcome, showProblem } from "./newest.js";
import { renew } from "./report.js";

export function start(panel) {
  const form = panel.querySelector("[data-sliders]");
  const place = panel.dataset.place;
  const report = document.querySelector("#report");
  const first = query(form);
  const send = newest((text) => numbers(`${place}/live?${text}`), (answer) => show(panel, answer));

  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("input", (event) => {
    const field = event.target.closest(".field");
    const shown = field?.querySelector(".shown .what");
    if (shown) shown.textContent = event.target.value;
    send(query(form));
  });
  form.addEventListener("change", async () => {
    const text = query(form);
    history.replaceState(null, "", `${place}?${text}`);
    buttons(panel, form);
    await send.settled();
    await redraw(panel, `${place}/scene?${text}`, () => query(form) === text);
    if (query(form) === text) renew(report, `${place}?${text}`);
  });
  panel.querySelector(".back")?.addEventListener("click", () => { window.location.href = place; });
  panel.querySelector(".keep")?.addEventListener("click", () => keep(panel, form, place));
  buttons(panel, form);
  panel.dataset.ready = first;
}

const query = (form) => new URLSearchParams(new FormData(form)).toString();
const fitted = (panel) => JSON.parse(panel.querySelector(".trial")?.dataset.fitted ?? "{}");
const changed = (panel, form) => Object.entries(fitted(panel)).filter(([word, own]) => {
  const field = form.elements.namedItem(word);
  return field && own.part && field.value !== own.part;
});

function buttons(panel, form) {
  const keepButton = panel.querySelector(".keep");
  const backButton = panel.querySelector(".back");
  if (keepButton) keepButton.disabled = changed(panel, form).length === 0;
  if (backButton) backButton.disabled = !window.location.search;
}

function show(panel, answer) {
  showProblem(panel, answer.ok ? "" : sentences(answer));
  if (!answer.ok) return;
  showOutcome(panel, answer.outcome);
  for (const picture of panel.querySelectorAll(".live .picture")) {
    const frame = JSON.parse(picture.dataset.frame);
    answer.panels.forEach((lines, number) => rewrite(picture, frame, lines, number));
  }
}

/** New path data for line and band of a panel; the axes stay. */
function rewrite(picture, frame, lines, number) {
  const [bottom, top] = frame.y[number];
  const [first, last] = frame.x;
  const held = (share) => Math.min(Math.max(share, 0), 1);
  const x = (value) => (frame.width * held((value - first) / (last - first))).toFixed(1);
  const y = (value) => (frame.height * (1 - held((value - bottom) / (top - bottom)))).toFixed(1);
  const known = lines.x.map((_, i) => i).filter((i) => [lines.x[i], lines.value[i], lines.low[i], lines.high[i]].every((n) => n !== null));
  const path = (name, order) => order.map((i) => `${x(lines.x[i])},${y(lines[name][i])}`).join("L");
  const line = picture.querySelector(`.panel${number}line0_marks > path`);
  const band = picture.querySelector(`.panel${number}band0_marks > path`);
  line?.setAttribute("d", `M${path("value", known)}`);
  band?.setAttribute("d", `M${path("low", known)}L${path("high", [...known].reverse())}Z`);
}

/** The picture with axes that fit, once things are at rest. */
async function redraw(panel, address, isStill) {
  try {
    const answer = await fetch(address, { headers: { accept: "text/html" } });
    if (!answer.ok) return;
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (!fresh.querySelector(".live") || !isStill()) return;
    for (const part of [".live", ".outcome"]) panel.querySelector(part).replaceWith(fresh.querySelector(part));
  } catch {
    // the numbers are there already; the next movement tries again
  }
}

async function keep(panel, form, place) {
  for (const [word, own] of changed(panel, form)) {
    const { status, body } = await tell(`${modelPath()}set`, {
      file: "model.toml", keys: ["fitted", own.name, "part"], kind: "choice", text: form.elements.namedItem(word).value,
      was: own.part, revision: document.body.dataset.revision,
    });
    if (status !== 200) { say(sentences(body)); return; }
  }
  history.replaceState(null, "", place);
  again("put into the model; undo takes it out again");
}
