// The house itself: pictures, plans with what is shown over them, and what one asks of it.
import { $, draw, el } from "./paper.js";
import { Refusal, asked, late, shown } from "./net.js";
import { house, look, state } from "./state.js";

let told = null, model = null, sketching = null, wanted = null, cross = [0.5, 0.5], asking = 0;

export const drawn = () => told?.drawn || {};

const seen = (look) => (look === "night" ? "look=outside&night=yes" : `look=${look}`);

// While something is dragged: sketches of the shell, one after another, always of the newest wish.
export async function sketch(query) {
  wanted = query;
  if (sketching) return;
  sketching = true;
  while (wanted) {
    const next = wanted;
    wanted = null;
    try {
      if (state().look === "plan" || state().look === "turn") break;
      await shown($("picture"), `/picture?${next}&${seen(state().look)}&size=sketch`, "sketch");
      $("sheet").classList.add("drawn");
      document.dispatchEvent(new Event("sketched"));
    } catch (error) { if (!late(error)) break; }
  }
  sketching = null;
}

// A picture is so large that what is said of the house, and the last houses, stand below it on the same
// screen; a plan, which is read closely, as large as it can be.
function fitted() {
  const { naturalWidth: wide, naturalHeight: high } = $("picture");
  if (high) $("sheet").style.maxWidth = state().look === "plan" ? "none" : `max(20rem, ${(60 * wide / high).toFixed(1)}vh)`;
}

export async function picture() {
  const { look: from, level, over } = state(), plan = from === "plan", turn = from === "turn";
  wanted = null;
  $("plan-rows").hidden = !plan;
  $("sheet").classList.toggle("plan", plan);
  $("turning").hidden = !turn;
  $("sheet").hidden = turn;
  $("over").replaceChildren();
  $("legend").hidden = !(plan && over);
  $("sheet").classList.remove("asking");
  if (turn) return turned();
  const path = plan ? `/plan?${house()}&level=${level}` : `/picture?${house()}&${seen(from)}`;
  try {
    await shown($("picture"), path, "picture");
  } catch (error) {
    if (!plan || level === "1" || error.status !== 400) throw error;
    look({ level: "1" }); // the house has fewer storeys than the one before
    throw new Refusal(409, { sentence: "" });
  }
  $("sheet").classList.add("drawn");
  $("picture").alt = plan ? `Plan, storey ${level}` : `The house, ${from}`;
  if (plan && over) await laidOver(over, level);
}

async function turned() {
  const data = await asked(`/model?${house()}`, "model");
  if (model) return model.replace(data);
  const { mountMaquette } = await import("./maquette.js");
  model = mountMaquette($("turning"), data);
  return undefined;
}

async function laidOver(over, level) {
  const found = await asked(`/over?${house()}&what=${over}&level=${level}`, "over");
  const frame = told?.plans.find((p) => `${p.level}` === level);
  if (!frame) return;
  $("over").setAttribute("viewBox", `0 0 ${frame.wide} ${frame.high}`);
  $("over").replaceChildren(...found.cells.map(([x, y, tone]) => draw("rect", {
    class: `t${tone}`, x: frame.left + frame.cell * x, y: frame.top + frame.cell * (frame.depth - 1 - y), width: frame.cell, height: frame.cell,
  })));
  const swatch = (tone) => { const s = draw("svg", { class: "swatch", viewBox: "0 0 14 10", "aria-hidden": "true" }); s.append(draw("rect", { class: `t${tone}`, width: 14, height: 10 })); return s; };
  $("legend").replaceChildren(el("strong", {}, found.title), ...found.legend.map(([tone, text]) => el("span", {}, swatch(tone), text)));
}

export async function about() {
  told = await asked(`/about?${house()}`, "about");
  const { look, level } = state();
  const indoor = told.rooms.filter((room) => room.indoor).length;
  $("house-name").textContent = `House ${told.seed}`;
  $("said").textContent = `${told.drawn.plot.join(" by ")} cells, gate to the ${told.drawn.gate}, ${indoor} rooms, ${told.drawn.arrangement}, palette ${told.drawn.palette}.`;
  $("levels").replaceChildren(el("legend", {}, "Storey"), ...told.plans.map((p) => el("label", {}, el("input", { type: "radio", name: "level", value: `${p.level}`, checked: `${p.level}` === level }), el("span", {}, p.name))));
  $("figures").replaceChildren(...told.figures.map((f) => el("div", { title: f.meaning }, el("dt", {}, f.title), el("dd", {}, `${f.text} ${f.unit}`))));
  $("notes").replaceChildren(told.notes.length ? el("ul", {}, ...told.notes.map((note) => el("li", {}, note))) : el("p", { class: "quiet" }, "Nothing to remark."));
  if (look === "plan" && state().over) await laidOver(state().over, level);
  return told;
}

export function begin() {
  const sheet = $("sheet");
  $("picture").addEventListener("load", fitted);
  sheet.addEventListener("click", (event) => {
    const box = $("picture").getBoundingClientRect();
    if (!box.width) return;
    cross = [(event.clientX - box.x) / box.width, (event.clientY - box.y) / box.height];
    answer();
  });
  sheet.addEventListener("keydown", (event) => {
    const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (event.target !== sheet || !(by || event.key === "Enter")) return;
    event.preventDefault();
    if (by) { cross = cross.map((c, n) => Math.min(1, Math.max(0, c + by[n] * (event.shiftKey ? 0.05 : 0.012)))); mark(); } else answer();
  });
}

function mark() {
  const box = $("picture");
  $("cross").style.left = `${cross[0] * box.clientWidth}px`;
  $("cross").style.top = `${cross[1] * box.clientHeight}px`;
  $("sheet").classList.add("asking");
}

async function answer() {
  mark();
  const mine = (asking += 1), { look, level } = state();
  $("answer").setAttribute("aria-busy", "true");
  try {
    const found = await asked(look === "plan" ? onPlan(level) : `/pick?${house()}&look=${look === "night" ? "outside" : look}&u=${Math.round(cross[0] * 1000)}&v=${Math.round(cross[1] * 1000)}`, "ask");
    if (mine !== asking) return;
    const rest = [found.step && `Set in step ${found.step}`, found.room && `In the ${found.room}`].filter(Boolean).join(". ");
    const lines = [el("p", { class: "piece" }, found.what), ...(rest ? [el("p", {}, `${rest}.`)] : []), ...(found.why || []).map((w) => el("p", {}, w))];
    if (found.colour) { const chip = el("span", { class: "chip", "aria-hidden": "true" }); chip.style.background = found.colour; lines[0].prepend(chip); }
    if (found.cell) lines[0].append(` at ${found.cell.join(", ")}`);
    $("answer").replaceChildren(...lines);
    if (found.cell) await wishes(found.cell, mine);
  } catch (error) { if (!late(error)) $("answer").replaceChildren(el("p", {}, error.message)); }
  $("answer").removeAttribute("aria-busy");
}

function onPlan(level) {
  const frame = told.plans.find((p) => `${p.level}` === level), u = cross[0] * frame.wide, v = cross[1] * frame.high;
  const x = Math.floor((u - frame.left) / frame.cell), y = frame.depth - 1 - Math.floor((v - frame.top) / frame.cell);
  return x < 0 || y < 0 ? `/ask?${house()}&x=9999&y=0&level=${level}` : `/ask?${house()}&x=${x}&y=${y}&level=${level}`;
}

async function wishes([x, y, z], mine) {
  const line = el("p", { class: "quiet" }, "Trying which wish moved it…");
  $("answer").append(line);
  const found = await asked(`/moved?${house()}&x=${x}&y=${y}&z=${z}`, "moved");
  if (mine !== asking) return;
  if (!found.asked) line.textContent = "No wish moved it: the brief asks for nothing beyond its plot.";
  else if (!found.moved.length) line.textContent = `None of the ${found.tried} wishes moved it.`;
  else line.textContent = `Without ${found.moved.map((m) => m.text).join(", or without ")}, something else would be here.`;
}
