// Balance: a handle on the drawing, by pointer and by keys; point, range and chance follow.
import { again, modelPath, say, sentences, tell } from "./ask.js";
import { newest, numbers, showOutcome, showProblem } from "./newest.js";

export function start(panel) {
  const root = panel.querySelector("[data-drag]");
  const told = JSON.parse(root.dataset.drag);
  const place = panel.dataset.place;
  const svg = root.querySelector(".picture svg");
  const handle = svg.querySelector(".handle");
  const chooser = root.querySelector("#drag-item");
  const number = root.querySelector("#drag-x");
  const mass = root.querySelector("#drag-mass");
  const state = { places: { ...told.places }, ballast: 0, ballastX: Math.round(told.ends[0]), item: "" };
  const items = new Map(told.items.map((one) => [one.name, one]));
  const across = (x) => told.frame.left + told.frame.scale * x * 1e-3;
  const laneAcross = (x) => told.frame.lane.left + told.frame.lane.scale * x * 1e-3;

  const now = () => (state.item ? state.places[state.item] ?? items.get(state.item).x : state.ballastX);
  const isMoved = () => Object.keys(state.places).length > 0 || state.ballast > 0;
  const query = () => new URLSearchParams({
    moves: Object.entries(state.places).map(([name, x]) => `${name}@${x}`).join(";"),
    ballast: String(state.ballast), ballast_x: String(state.ballastX),
  }).toString();
  const send = newest((text) => numbers(`${place}/live?${text}`), (answer) => {
    showProblem(root, answer.ok ? "" : sentences(answer));
    if (answer.ok) show(answer);
  });

  function show(answer) {
    showOutcome(root, answer.outcome);
    const [low, middle, high] = answer.centre;
    const tone = answer.place === "inside" ? "centre-here inside" : "centre-here outside";
    const here = svg.querySelector(".centre-here");
    here.setAttribute("transform", `translate(${across(middle).toFixed(1)} ${told.frame.centre_y.toFixed(1)})`);
    here.setAttribute("class", tone);
    const lane = svg.querySelector(".centre-lane");
    lane.setAttribute("class", tone.replace("here", "lane"));
    const y = told.frame.lane.y.toFixed(1);
    const held = (x) => Math.min(Math.max(laneAcross(x), 4), told.frame.width - 4);
    lane.setAttribute("transform", `translate(${held(middle).toFixed(1)} ${y})`);
    svg.querySelector(".spread-here").setAttribute("d", `M${held(low).toFixed(1)} ${(told.frame.lane.y - 5).toFixed(1)}v10m0 -5H${held(high).toFixed(1)}m0 -5v10`);
    handle.setAttribute("aria-valuetext", `${now()} mm; ${answer.words}`);
  }

  function stand() {
    const x = now();
    const drawn = svg.querySelector(`.item[data-item="${CSS.escape(state.item)}"]`);
    const y = drawn ? Number(drawn.dataset.y) : told.frame.centre_y;
    handle.setAttribute("transform", `translate(${across(x).toFixed(1)} ${y.toFixed(1)})`);
    handle.setAttribute("aria-label", `Place of ${state.item || "the ballast"} along the model, in mm`);
    handle.setAttribute("aria-valuemin", told.ends[0]);
    handle.setAttribute("aria-valuemax", told.ends[1]);
    handle.setAttribute("aria-valuenow", x);
    drawn?.setAttribute("transform", `translate(${across(x).toFixed(1)} ${y.toFixed(1)})`);
    if (document.activeElement !== number) number.value = String(x);
    root.querySelector("#drag-where").textContent = where(x);
    root.querySelector(".keep").disabled = !isMoved();
    root.querySelector(".back").disabled = !isMoved();
  }

  function where(x) {
    const bays = state.item ? items.get(state.item).bays : [];
    if (bays.length === 0) return "aft of the datum";
    const found = bays.find(([, first, last]) => x >= first && x <= last);
    if (found) return `in the ${found[0]}, which holds it from ${found[1]} to ${found[2]} mm`;
    const [name, first, last] = bays[0];
    return `outside of the ${name}, which holds it from ${first} to ${last} mm`;
  }

  function move(x) {
    const held = Math.round(Math.min(Math.max(x, told.ends[0]), told.ends[1]));
    if (state.item) {
      if (held === items.get(state.item).x) delete state.places[state.item];
      else state.places[state.item] = held;
    } else {
      state.ballastX = held;
    }
    stand();
    send(query());
  }

  const atPointer = (event) => {
    const box = svg.getBoundingClientRect();
    return ((event.clientX - box.left) * (told.frame.width / box.width) - told.frame.left) / told.frame.scale * 1e3;
  };
  let grip = null;
  handle.addEventListener("pointerdown", (event) => {
    handle.setPointerCapture(event.pointerId);
    handle.focus();
    grip = { id: event.pointerId, apart: now() - atPointer(event), from: now() };
    event.preventDefault();
  });
  handle.addEventListener("pointermove", (event) => {
    if (grip?.id === event.pointerId) move(atPointer(event) + grip.apart);
  });
  // browsers overlook touch-action on a part of a picture; only the handle keeps the page from scrolling
  handle.addEventListener("touchstart", (event) => event.preventDefault(), { passive: false });
  const release = (event, isCancelled) => {
    if (grip?.id !== event.pointerId) return;
    if (isCancelled) move(grip.from);
    grip = null;
    rest();
  };
  handle.addEventListener("pointerup", (event) => release(event, false));
  handle.addEventListener("pointercancel", (event) => release(event, true));
  handle.addEventListener("keydown", (event) => {
    const step = event.shiftKey ? 10 : 1;
    const ways = { ArrowLeft: -step, ArrowDown: -step, ArrowRight: step, ArrowUp: step, PageDown: -10, PageUp: 10 };
    const ends = { Home: told.ends[0], End: told.ends[1] };
    if (event.key in ways) move(now() + ways[event.key]);
    else if (event.key in ends) move(ends[event.key]);
    else return;
    event.preventDefault();
    rest();
  });

  function rest() {
    history.replaceState(null, "", isMoved() ? `${place}?${query()}` : place);
  }

  number.addEventListener("change", () => {
    const x = Number(number.value.replace(",", ".").replace("\u2212", "-"));
    if (!Number.isFinite(x)) { showProblem(root, `Place must be a number in mm; ${number.value} came; write digits only`); return; }
    move(x);
    number.value = String(now());
    rest();
  });
  mass.addEventListener("input", () => {
    state.ballast = Number(mass.value);
    root.querySelector(".shown .what").textContent = mass.value;
    stand();
    send(query());
  });
  mass.addEventListener("change", rest);
  chooser.addEventListener("change", () => {
    state.item = chooser.value;
    root.querySelector(".ballast").hidden = Boolean(state.item);
    if (!state.item && !state.ballast) state.ballast = Number(mass.value);
    stand();
    send(query());
  });

  root.querySelector(".back").addEventListener("click", () => { window.location.href = place; });
  root.querySelector(".keep").addEventListener("click", async () => {
    for (const [name, x] of Object.entries(state.places)) {
      const { status, body } = await tell(`${modelPath()}set`, {
        file: "model.toml", keys: [items.get(name).table, name, "x_mm"],
        kind: "number", text: String(x), grade: "", base_grade: "", revision: document.body.dataset.revision,
      });
      if (status !== 200) { say(sentences(body)); return; }
      document.body.dataset.revision = body.revision;
    }
    if (state.ballast) {
      const fields = { id: `ballast-${Date.now() % 100000}`, title: "Ballast", group: "ballast", mass_g: state.ballast, x_mm: state.ballastX, y_mm: 0, z_mm: 0 };
      const { status, body } = await tell(`${modelPath()}add`, { file: "model.toml", table: "item", fields: Object.fromEntries(
        Object.entries(fields).map(([key, value]) => [key, { kind: typeof value === "number" ? "number" : "text", text: String(value) }]),
      ) });
      if (status !== 200) { say(sentences(body)); return; }
    }
    history.replaceState(null, "", place);
    again("kept; undo moves it back");
  });

  state.item = chooser.value;
  stand();
  show(told.now);
  svg.querySelectorAll(".item").forEach((group) => {
    const x = state.places[group.dataset.item];
    if (x !== undefined) group.setAttribute("transform", `translate(${across(x).toFixed(1)} ${group.dataset.y})`);
  });
  root.dataset.ready = "yes";
}
