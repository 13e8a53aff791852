// Talking to the program: JSON there and back, every refusal as sentences, and the word at the foot of the page.

const GONE = "The program does not answer. Is it still running? What you wrote is kept here.";

/** Say something at the foot of the page; it is read out, and the page does not move. quiet: only read out. */
export function say(words, quiet = false) {
  const place = document.querySelector("#say");
  if (quiet && place.classList.contains("shown")) return; // what can be seen comes first
  place.textContent = words;
  place.classList.toggle("shown", Boolean(words) && !quiet);
  window.clearTimeout(say.timer);
  say.timer = window.setTimeout(() => place.classList.remove("shown"), 6000);
}

/** POST plain values; gives {status, body}, status 0 when nobody answers. */
export async function tell(path, values) {
  try {
    const answer = await fetch(path, {
      method: "POST",
      headers: { "content-type": "application/json", accept: "application/json" },
      body: JSON.stringify(values),
    });
    return { status: answer.status, body: await answer.json() };
  } catch {
    return { status: 0, body: { ok: false, errors: [{ where: "", message: GONE }] } };
  }
}

/** What was refused, as one text. */
export function sentences(body) {
  return (body.errors ?? []).map((one) => one.message).join("; ") || GONE;
}

export const modelPath = () => document.body.dataset.model ?? "";

/** Take over where the desk stands: revision, and what can be undone. */
export function stand(body) {
  document.body.dataset.revision = body.revision;
  for (const [id, words] of [["undo", body.undo], ["redo", body.redo]]) {
    const button = document.querySelector(`#${id}`);
    if (!button) continue;
    button.disabled = !words;
    button.title = words;
    button.querySelector(".what").textContent = ` ${words}`;
  }
}

/** Load the page again where it stands, with the same field in focus. */
export function again(words) {
  const id = document.activeElement?.id;
  if (id) sessionStorage.setItem("focus", id);
  const open = [...document.querySelectorAll("main details[open][id]")].map((one) => one.id);
  sessionStorage.setItem("open", JSON.stringify(open));
  if (words) sessionStorage.setItem("say", words);
  window.location.reload();
}

/** Undo and redo, by button and by key, and what a reload left to do. */
export function steps() {
  for (const id of ["undo", "redo"]) {
    document.querySelector(`#${id}`)?.addEventListener("click", () => step(id));
  }
  document.addEventListener("keydown", (event) => {
    const isText = event.target.matches("input[type=text], textarea");
    if (!(event.ctrlKey || event.metaKey) || event.altKey || isText || !modelPath()) return;
    const key = event.key.toLowerCase();
    const id = key === "z" ? (event.shiftKey ? "redo" : "undo") : key === "y" ? "redo" : "";
    const button = id && document.querySelector(`#${id}`);
    if (!button || button.disabled) return;
    event.preventDefault();
    step(id);
  });
  for (const id of JSON.parse(sessionStorage.getItem("open") ?? "[]")) {
    const one = document.getElementById(id);
    if (one) one.open = true;
  }
  document.getElementById(sessionStorage.getItem("focus") ?? "")?.focus();
  const words = sessionStorage.getItem("say");
  if (words) say(words);
  for (const key of ["open", "focus", "say"]) sessionStorage.removeItem(key);
}

async function step(id) {
  const { status, body } = await tell(`${modelPath()}${id}`, {});
  if (status === 200) again(body.words);
  else say(sentences(body));
}
