// What is on the table: a house's recipe, what is kept of it, and how it is looked at; all of it in the address.
export const STAGES = [...document.querySelectorAll("#stages input")].map((box) => box.value);
const TRAIL = "genhouse trail", MOST = 400;
const LOOKS = values("look"), OVERS = values("over");

function values(name) { return [...document.querySelectorAll(`input[name=${name}]`)].map((box) => box.value); }

let now = read(location.search);
let trail = kept();
const hearers = [];

export const state = () => now;
export const heard = (hearer) => hearers.push(hearer);
export const past = () => trail;

export function read(search) {
  const words = new URLSearchParams(search);
  const text = words.get("brief") || "{}";
  let brief = {}, garbled;
  try { brief = JSON.parse(text); } catch { garbled = text; }
  if (brief === null || typeof brief !== "object" || Array.isArray(brief)) [brief, garbled] = [{}, text];
  const stages = Object.fromEntries(STAGES.filter((s) => words.has(s)).map((s) => [s, words.get(s)]));
  return {
    seed: words.get("seed") || "7", brief, garbled, stages,
    keep: words.get("keep") || "", look: LOOKS.includes(words.get("look")) ? words.get("look") : "outside",
    over: OVERS.includes(words.get("over")) ? words.get("over") : "", level: /^[1-9]$/.test(words.get("level")) ? words.get("level") : "1",
  };
}

// The house alone: what the desk is asked about.
export function house(of = now) {
  const words = [["seed", of.seed]];
  if (of.garbled !== undefined) words.push(["brief", of.garbled]); // the desk says what is amiss
  else if (Object.keys(of.brief).length) words.push(["brief", JSON.stringify(of.brief)]);
  for (const stage of STAGES) if (stage in of.stages) words.push([stage, of.stages[stage]]);
  return words.map(([k, v]) => `${k}=${encodeURIComponent(v)}`).join("&");
}

export function address(of = now) {
  const words = house(of), more = [];
  if (of.keep) more.push(`keep=${of.keep}`);
  if (of.look !== "outside") more.push(`look=${of.look}`);
  if (of.look === "plan" && of.over) more.push(`over=${of.over}`);
  if (of.look === "plan" && of.level !== "1") more.push(`level=${of.level}`);
  return `?${[words, ...more].join("&")}`;
}

// Another house on the table: it goes on the trail.
export function change(more) {
  const before = house();
  now = { ...now, garbled: undefined, ...more, brief: trimmed(more.brief || now.brief) };
  if (house() === before) return look(more);
  trail.at += 1;
  trail.all = [...trail.all.slice(0, trail.at), address()];
  history.pushState({ at: trail.at }, "", address());
  said();
}

// The same house otherwise looked at: no step on the trail.
export function look(more) {
  now = { ...now, ...more, brief: now.brief };
  trail.all[trail.at] = address();
  history.replaceState({ at: trail.at }, "", address());
  said();
}

export function go(query) {
  const { seed, brief, garbled, stages } = read(query);
  change({ seed, brief, garbled, stages });
}

export function step(by) {
  const at = trail.at + by;
  if (at < 0 || at >= trail.all.length) return;
  trail.at = at;
  now = { ...read(trail.all[at]), look: now.look, over: now.over };
  history.pushState({ at }, "", address());
  said();
}

function trimmed(value) {
  if (Array.isArray(value) || value === null || typeof value !== "object") return value;
  const found = {};
  for (const [key, item] of Object.entries(value)) {
    const inner = trimmed(item);
    const empty = inner === null || inner === undefined || inner === "" ||
      (typeof inner === "object" && !Object.keys(inner).length && !(key === "low" && Array.isArray(inner)));
    if (!empty) found[key] = key === "rooms" ? inner.map(trimmed) : inner;
  }
  return found;
}

function kept() {
  try {
    const saved = JSON.parse(sessionStorage.getItem(TRAIL));
    const at = history.state?.at;
    if (saved && saved.all[at - saved.first] === address()) return { all: saved.all, at: at - saved.first };
    if (saved && saved.all.length) return { all: [...saved.all.slice(0, saved.at + 1), address()], at: saved.at + 1 };
  } catch { /* no trail, or none that can be read */ }
  return { all: [address()], at: 0 };
}

function said() {
  const first = Math.max(0, trail.at - MOST);
  try { sessionStorage.setItem(TRAIL, JSON.stringify({ all: trail.all.slice(first, trail.at + MOST), at: trail.at - first, first })); } catch { /* nowhere to keep it */ }
  for (const hearer of hearers) hearer();
}

addEventListener("popstate", (event) => {
  now = read(location.search);
  // Where the trail went on from an earlier house meanwhile, this one lies no longer on it: it is put on its end.
  const here = trail.all.map((one) => house(read(one))), at = event.state?.at;
  const found = here[at] === house() ? at : here.lastIndexOf(house());
  if (found < 0) trail.all = [...trail.all, address()];
  trail.at = found < 0 ? trail.all.length - 1 : found;
  history.replaceState({ at: trail.at }, "", address());
  said();
});
history.replaceState({ at: trail.at }, "", address());
