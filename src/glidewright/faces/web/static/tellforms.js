// Forms that tell the program something about the model: sent as plain values, refusals said beside, nothing lost.
import { again, modelPath, sentences, tell } from "./ask.js";

/** Take over all forms with data-tell, now and in reports that come later. */
export function tellForms() {
  document.addEventListener("submit", async (event) => {
    const form = event.target;
    if (!form.matches("form[data-tell]")) return;
    event.preventDefault();
    const values = Object.fromEntries(new FormData(form, event.submitter));
    values.revision = document.body.dataset.revision;
    const { status, body } = await tell(`${modelPath()}${form.dataset.tell}`, values);
    if (status === 200) { again(body.words); return; }
    const error = form.querySelector(".error");
    error.hidden = false;
    error.querySelector(".what").textContent = sentences(body);
    form.querySelector("input[type=text]")?.focus();
  });
}
