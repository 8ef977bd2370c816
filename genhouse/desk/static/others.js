// Other houses: the last ones, those next door, and the tray.
import { $, el } from "./paper.js";
import { asked, late, shown } from "./net.js";
import { go, house, past, read, step } from "./state.js";

const TRAY = "genhouse tray", MOST = 8, LAST = 14, SMALL = "look=outside&size=small";
const pictures = new Map();
let showing = 0, inSight = false, tray = kept();

const of = (query) => house(read(query));

// A small picture, kept while the page is open.
async function small(image, query, kind) {
  if (!pictures.has(query)) {
    const holder = new Image();
    await shown(holder, `/picture?${query}&${SMALL}`, kind);
    if (pictures.size > 80) pictures.delete(pictures.keys().next().value);
    pictures.set(query, holder.src);
  }
  image.src = pictures.get(query);
}

function button(text, image, work) {
  const node = el("button", { type: "button" }, image, el("span", {}, text));
  node.addEventListener("click", work);
  return node;
}

const name = (query) => {
  const { seed, brief } = read(query);
  const said = Object.entries(brief).filter(([key]) => key !== "client").map(([key, value]) => (key === "plot" && Array.isArray(value) ? value.join(" x ") : typeof value === "string" ? value : key.replace("_", " ")));
  return `No. ${seed}${said.length ? `: ${said.slice(0, 3).join(", ")}` : ""}`;
};

// What a house of the trail has otherwise than the one before it.
function since(before, now) {
  const [a, b] = [read(before), read(now)];
  if (a.seed !== b.seed) return `No. ${b.seed}`;
  const keys = [...new Set([...Object.keys(a.brief), ...Object.keys(b.brief)])].filter((k) => JSON.stringify(a.brief[k]) !== JSON.stringify(b.brief[k]));
  const said = keys.map((key) => {
    const value = b.brief[key], plain = key.replace("_", " ");
    if (value === undefined) return `${plain} left open`;
    if (key === "plot" && Array.isArray(value)) return `plot ${value.join(" x ")}`;
    return typeof value === "object" ? plain : `${plain} ${value}`;
  });
  const stages = Object.keys(b.stages).filter((stage) => a.stages[stage] !== b.stages[stage]);
  if (stages.length) said.push(`other ${stages[0]}${stages.length > 1 ? " and on" : ""}`);
  return said.slice(0, 3).join(", ") || name(now);
}

export async function strip() {
  const { all, at } = past(), first = Math.max(0, Math.min(at - LAST + 3, all.length - LAST));
  const list = $("strip").querySelector("ol"), items = [];
  all.slice(first, first + LAST).forEach((address, n) => {
    const image = el("img", { alt: "", width: 260, height: 234 });
    const text = first + n ? since(all[first + n - 1], address) : name(address);
    const node = button(text, image, () => step(first + n - past().at));
    if (first + n === at) node.setAttribute("aria-current", "true");
    items.push([image, of(address), el("li", {}, node)]);
  });
  const held = [...list.children].findIndex((li) => li.contains(document.activeElement));
  list.replaceChildren(...items.map(([, , li]) => li));
  if (held >= 0) (list.querySelector("[aria-current]") || $("strip")).focus({ preventScroll: true });
  const here = list.querySelector("[aria-current]");
  if (here) list.scrollLeft = here.offsetLeft - list.clientWidth / 2;
  for (const [image, query] of items) await small(image, query, "").catch((error) => { if (error.status < 500) image.replaceWith(el("p", { class: "none" }, "no house")); });
}

// Neighbours: pictures as they come; those that do not stand are left out.
export async function near() {
  if (!inSight) return;
  const mine = (showing += 1), list = $("near").querySelector("ol");
  list.setAttribute("aria-busy", "true");
  try {
    const found = await asked(`/near?${house()}`, "near");
    const items = [];
    let next = 0;
    const fetchOne = async (slot) => {
      while (next < found.length && mine === showing) {
        const { text, query } = found[next++];
        const image = el("img", { alt: "", width: 260, height: 234 });
        try {
          await small(image, query, `near ${slot}`);
          if (mine !== showing) return;
          if (items.length < MOST) { 
            const held = [...list.children].findIndex((li) => li.contains(document.activeElement));
            items.push(el("li", {}, button(text, image, () => go(query))));
            list.replaceChildren(...items);
            if (held >= 0) items[Math.min(held, items.length - 1)].firstChild.focus({ preventScroll: true });
          }
          if (items.length >= MOST) return;
        } catch (error) { if (late(error)) return; }
      }
    };
    await Promise.all([fetchOne(0), fetchOne(1)]);
  } catch (error) { if (!late(error)) list.replaceChildren(el("li", {}, error.message)); }
  if (mine === showing) list.removeAttribute("aria-busy");
}

export function stop() {
  showing += 1;
}

function kept() {
  try { return JSON.parse(localStorage.getItem(TRAY)).filter((q) => typeof q === "string").slice(0, MOST); } catch { return []; }
}

function keep(next) {
  tray = next;
  try { localStorage.setItem(TRAY, JSON.stringify(next)); } catch { /* nowhere to keep it */ }
  compare();
}

export function put(said) {
  const query = house();
  if (tray.includes(query)) return said("It lies on the tray already.");
  if (tray.length >= MOST) return said("The tray is full: take a house off it first.");
  keep([...tray, query]);
  return said("It lies on the tray.");
}

export async function compare() {
  const place = $("tray").querySelector(".wide");
  $("put").textContent = `Put this house on the tray (${tray.length} of ${MOST})`;
  if (!tray.length) return place.replaceChildren();
  place.setAttribute("aria-busy", "true");
  const head = el("tr", {}, el("th", { scope: "col" }, "House"), ...tray.map((query, n) => column(query, n)));
  const table = el("table", {}, el("caption", {}, "Figures"), el("thead", {}, head), el("tbody", {}));
  place.replaceChildren(table);
  try {
    const found = await asked(`/compare?${tray.map((q) => `house=${encodeURIComponent(q)}`).join("&")}`, "compare");
    table.querySelector("tbody").append(...found.figures.map(row));
    if (tray.length > 1) place.append(apart("How unlike inside, 0 to 1", found.inside), apart("How unlike outside, 0 to 1", found.outside));
  } catch (error) { if (!late(error)) place.append(el("p", {}, error.message)); }
  place.removeAttribute("aria-busy");
  return undefined;
}

function column(query, n) {
  const image = el("img", { alt: "", width: 260, height: 234 });
  small(image, query, "").catch(() => {});
  const off = el("button", { type: "button", "aria-label": `Take house ${n + 1} off the tray` }, "Take off");
  off.addEventListener("click", () => { keep(tray.filter((_, m) => m !== n)); $("put").focus({ preventScroll: true }); });
  return el("td", {}, el("div", { class: "pictures pictured" }, button(`${n + 1}. ${name(query)}`, image, () => go(query))), off);
}

function row(figure) {
  const best = figure.more ? Math.max(...figure.values) : Math.min(...figure.values);
  const alike = figure.values.every((v) => v === figure.values[0]);
  return el("tr", {}, el("th", { scope: "row", title: figure.meaning }, `${figure.title}${figure.unit ? `, ${figure.unit}` : ""}`),
    ...figure.texts.map((text, n) => el("td", { class: !alike && figure.values[n] === best ? "best" : "" }, text)));
}

function apart(caption, rows) {
  const numbers = rows.map((_, n) => el("th", { scope: "col" }, `${n + 1}`));
  return el("table", {}, el("caption", {}, caption), el("thead", {}, el("tr", {}, el("td", {}), ...numbers)),
    el("tbody", {}, ...rows.map((r, n) => el("tr", {}, el("th", { scope: "row" }, `${n + 1}`), ...r.map((d, m) => el("td", {}, m === n ? "–" : d.toFixed(2)))))));
}

export function begin(said) {
  $("put").addEventListener("click", () => put(said));
  addEventListener("storage", (event) => { if (event.key === TRAY) { tray = kept(); compare(); } });
  new IntersectionObserver((seen) => {
    const before = inSight;
    inSight = seen[0].isIntersecting;
    if (inSight && !before) near();
  }, { rootMargin: "200px" }).observe($("near"));
  compare();
}
