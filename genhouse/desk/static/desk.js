// The desk: what is changed, what is shown, and what goes wrong.
import { $, el } from "./paper.js";
import { asked, late } from "./net.js";
import { STAGES, change, go, heard, house, look, past, state, step } from "./state.js";
import * as form from "./form.js";
import * as plot from "./plot.js";
import * as shown from "./house.js";
import * as others from "./others.js";
import * as take from "./take.js";

let tradition = null, last = "", known = "", round = 0, said = (text) => { $("said").textContent = text; };

// A value into a brief, by its path: rooms.0.area.
function placed(brief, path, value) {
  const copy = structuredClone(brief), keys = path.split(".");
  let here = copy;
  for (const key of keys.slice(0, -1)) here = here[key] ??= {};
  if (value === undefined) delete here[keys.at(-1)];
  else here[keys.at(-1)] = value;
  return copy;
}

const plain = (word) => word.replaceAll("_", " ");
const at = (brief, path) => path.split(".").reduce((here, key) => here?.[key], brief);

// A brief without what stands at a path.
function without(brief, path) {
  const copy = structuredClone(brief), keys = path.split("."), last = keys.pop();
  const here = at(copy, keys.join(".")) ?? copy;
  if (Array.isArray(here)) here.splice(Number(last), 1);
  else delete here[last];
  return copy;
}

const merged = (more) => Object.entries(more).reduce((brief, [key, value]) => placed(brief, key, value), form.sound(state().brief));

const wishes = {
  changed: (path, value) => change({ brief: placed(form.sound(state().brief), path, value) }),
  previewed: (path, value) => shown.sketch(house({ ...state(), brief: placed(form.sound(state().brief), path, value) })),
};

async function show() {
  const mine = (round += 1), now = house();
  controls();
  await schema();
  const fresh = now !== last;
  const brief = form.sound(state().brief);
  if (fresh) await new Promise((moved) => setTimeout(moved)); // the focus goes on first
  if (mine !== round) return;
  last = now;
  if (fresh) { known = ""; form.fill(brief, {}); plot.fill(brief, shown.drawn()); others.stop(); take.fill(); }
  $("sheet").setAttribute("aria-busy", "true");
  if (fresh) $("blank").textContent = "Sharpening the pencils…";
  const slow = setTimeout(() => said("Still drawing…"), 2500);
  try {
    await shown.picture();
    if (mine !== round) return;
    cleared();
    if (now !== known) {
      const told = await shown.about();
      if (mine !== round) return;
      known = now;
      form.fill(brief, told.drawn);
      plot.fill(brief, told.drawn);
      others.strip();
      others.near();
    }
  } catch (error) {
    if (mine === round && !late(error)) refused(error);
  } finally {
    clearTimeout(slow);
    if (mine === round) $("sheet").removeAttribute("aria-busy");
  }
}

async function schema() {
  const wanted = state().brief.tradition || "";
  if (tradition === wanted) return;
  try {
    const found = await asked(`/schema${wanted && `?tradition=${encodeURIComponent(wanted)}`}`, "schema").catch((error) => {
      if (error.status === 422) return asked("/schema", "schema"); // there is no such tradition: the house is refused
      throw error;
    });
    form.begin(found, wishes);
    tradition = wanted;
    last = "";
  } catch (error) { if (!late(error)) refused(error); }
}

function controls() {
  const { seed, keep, look: at, over } = state(), { all, at: place } = past();
  if (document.activeElement !== $("seed")) $("seed").value = seed;
  $("undo").disabled = place <= 0;
  $("redo").disabled = place >= all.length - 1;
  for (const input of document.querySelectorAll("#looks input")) input.checked = input.value === at;
  for (const input of document.querySelectorAll("#overs input")) input.checked = input.value === over;
  const kept = STAGES.indexOf(keep);
  document.querySelectorAll("#stages input").forEach((box, n) => {
    box.checked = n <= kept;
    box.parentElement.classList.toggle("stood", n < kept);
    box.disabled = n === STAGES.length - 1;
  });
  document.title = `House ${seed} – the desk`;
}

function cleared() {
  if ($("refusal").contains(document.activeElement)) $("house").focus({ preventScroll: true });
  $("refusal").hidden = true;
  $("sheet").classList.remove("before");
  form.wrong();
  plot.wrong([]);
}

function refused(error) {
  const { sentence, fields = [], offers = [] } = error.told || { sentence: error.message };
  const words = sentence.replace(/^brief: it /, "the brief ").replace(/^brief: /, "");
  const buttons = offers.map((offer) => {
    const node = el("button", { type: "button" }, offer.text);
    node.addEventListener("click", () => go(offer.query));
    return node;
  });
  for (const field of offers.length ? [] : fields) {
    const path = field.startsWith("rooms.") ? field.split(".").slice(0, 2).join(".") : field;
    if (at(state().brief, path) === undefined) continue;
    const node = el("button", { type: "button" }, path === field ? `Leave ${plain(path.split(".").pop())} open` : "Take this room away");
    node.addEventListener("click", () => change({ brief: without(state().brief, path) }));
    buttons.push(node);
  }
  const again = el("button", { type: "button" }, "Try again");
  again.addEventListener("click", () => { last = ""; show(); });
  if (!error.status || error.status >= 500) buttons.push(again);
  $("refusal").replaceChildren(el("p", {}, words.charAt(0).toUpperCase() + words.slice(1) + (/[.?!]$/.test(words) ? "" : ".")),
    ...(offers.length ? [el("p", {}, "What would work:")] : []), el("div", { class: "offers" }, ...buttons));
  $("refusal").hidden = false;
  $("blank").textContent = "No house to show.";
  $("sheet").classList.add("before");
  said($("sheet").classList.contains("drawn") ? "What is shown is the house before." : "");
  others.strip();
  form.wrong(fields, words);
  plot.wrong(fields);
  if (fields.length > 1) conflict(fields);
}

// Each wish that conflicts, as a house has it that asks for nothing else.
async function conflict(fields) {
  const mine = round;
  try {
    const found = await asked(`/alone?${house()}&fields=${fields.join(",")}`, "alone");
    if (mine === round) plot.wrong(fields, found);
  } catch { /* the words say it */ }
}

function begin() {
  plot.begin({
    changed: (more) => change({ brief: merged(more) }), previewed: (more) => shown.sketch(house({ ...state(), brief: merged(more) })), said,
  });
  shown.begin();
  others.begin(said);
  take.begin();
  $("looks").addEventListener("change", (event) => look({ look: event.target.value }));
  $("overs").addEventListener("change", (event) => look({ over: event.target.value }));
  $("levels").addEventListener("change", (event) => look({ level: event.target.value }));
  $("stages").addEventListener("change", (event) => {
    const n = STAGES.indexOf(event.target.value);
    look({ keep: event.target.checked ? STAGES[n] : STAGES[n - 1] || "" });
  });
  $("undo").addEventListener("click", () => step(-1));
  $("redo").addEventListener("click", () => step(1));
  $("afresh").addEventListener("click", () => change({ brief: {}, stages: {}, keep: "" }));
  $("seeding").addEventListener("submit", (event) => {
    event.preventDefault();
    change({ seed: $("seed").value, stages: {} });
    $("seed").blur();
  });
  $("another").addEventListener("click", () => again(""));
  $("again").addEventListener("click", () => again(state().keep));
  document.addEventListener("keydown", (event) => {
    const typing = event.target.matches?.("input:not([type=range], [type=radio], [type=checkbox]), select, textarea");
    if (typing || !(event.ctrlKey || event.metaKey) || event.altKey || event.key.toLowerCase() !== "z") return;
    event.preventDefault();
    step(event.shiftKey ? 1 : -1);
  });
  heard(show);
  show();
}

async function again(keep) {
  const number = 1 + Math.floor(Math.random() * 100000);
  try {
    const found = await asked(`/again?${house()}&keep=${keep}&number=${keep ? number : 1}`, "again");
    go(found.query);
  } catch (error) { if (!late(error)) refused(error); }
}

begin();
