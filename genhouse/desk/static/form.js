// The brief as a form, drawn from its schema.
import { el, $, words } from "./paper.js";
import { shaped } from "./shape.js";

const GROUPS = [
  ["Who lives there", ["client", "people", "trade"]],
  ["The house", ["storeys", "courts", "closed", "arrangement", "low", "gallery", "service"]],
  ["How it looks", ["tradition", "palette", "garden", "light", "mirror"]],
  ["The roof", ["roof"]],
  ["The plot, more closely", ["gate", "sides", "outline", "plot_least", "plot_most"]],
  ["Ground that falls", ["ground"]],
];
const ELSEWHERE = ["plot", "rooms"];
const OPEN = "as it comes";
const SAID = { party: "a neighbour" };
let schema, changed, previewed, drawn = {}, opened = new Set();

export function begin(told, hearers) {
  schema = told.schema;
  ({ changed, previewed } = hearers);
}

const brief = () => schema.$defs.Brief.properties;
export const sound = (value) => (schema && shaped(value, { $ref: "Brief" }, schema.$defs)) || {};
const entry = (given) => (given.$ref ? schema.$defs[given.$ref.split("/").pop()] : given);

export function fill(value, came = {}) {
  const form = $("wishes"), open = new Set([...form.querySelectorAll("details[open]")].map((d) => d.dataset.name));
  const focus = document.activeElement?.id, inside = form.contains(document.activeElement), first = !form.children.length;
  drawn = came;
  opened = open;
  const listed = GROUPS.flatMap(([, keys]) => keys);
  const more = Object.keys(brief()).filter((key) => !listed.includes(key) && !ELSEWHERE.includes(key));
  const groups = [...GROUPS, ["More", more]].filter(([, keys]) => keys.length);
  const parts = [rooms(value.rooms || [])];
  for (const [name, keys] of groups) {
    const fields = keys.filter((key) => brief()[key]).flatMap((key) => fieldsOf(key, brief()[key], value[key]));
    const said = keys.some((key) => key in value && key !== "tradition");
    parts.push(el("details", { "data-name": name, "data-keys": keys.join(" "), open: open.has(name) || (first && said) }, el("summary", { id: `group-${keys[0]}` }, name), ...fields));
  }
  if (open.has("Rooms") || (first && value.rooms)) parts[0].open = true;
  form.replaceChildren(...parts);
  if (focus && inside) ($(focus) || $("add-room")).focus({ preventScroll: true });
}

function fieldsOf(key, given, value) {
  const its = entry(given);
  if (its.properties) return Object.entries(its.properties).map(([word, inner]) => field(`${key}.${word}`, inner, value?.[word]));
  return [field(key, given, value)];
}

const put = (path) => (value, preview) => (preview ? previewed : changed)(path, value);

function field(path, given, value) {
  const its = entry(given), id = `f-${path.replaceAll(".", "-")}`, hint = `${id}-hint`;
  const label = words(path.split(".").pop());
  const made = control(id, its, value, put(path), path);
  const named = made.alone ? el("label", { for: id }, label) : el("span", { class: "label", id: `${id}-label` }, label);
  if (!made.alone) { made.node.setAttribute("role", "group"); made.node.setAttribute("aria-labelledby", `${id}-label`); }
  (made.alone ? made.input || made.node : made.node).setAttribute("aria-describedby", hint);
  const told = (its.description || "").replaceAll("`", "");
  return el("div", { class: "field", "data-path": path }, ...(made.output ? [made.output] : []), named, made.node, el("p", { class: "hint", id: hint }, told));
}

function control(id, its, value, set, path) {
  const kinds = its.anyOf || [its];
  const names = its.enum || kinds.find((k) => k.enum)?.enum;
  const whole = kinds.find((k) => k.type === "integer"), yes = kinds.find((k) => k.type === "boolean");
  if (its.type === "array" && its.prefixItems) return pair(id, its.prefixItems, value, set);
  if (its.type === "array" && its.items?.enum) return many(id, its.items.enum, value, set, path === "low");
  if (names) return { alone: true, node: choice(id, names.filter((n) => n !== its.default).map((n) => [n, SAID[n] || n]), value === its.default ? undefined : value, set, path, its.default) };
  if (whole && yes) {
    const sides = span(whole).map((n) => [n, n === 1 ? "on one side" : `on ${n} sides`]);
    return { alone: true, node: choice(id, [[true, "yes"], [false, "no"], ...sides], value, set, path) };
  }
  if (yes) return { alone: true, node: choice(id, [[true, "yes"], [false, "no"]].filter(([v]) => v !== its.default), value === its.default ? undefined : value, set, path, its.default) };
  if (whole && whole.maximum - whole.minimum < 5) return { alone: true, node: choice(id, span(whole).filter((n) => n !== its.default).map((n) => [n, `${n}`]), value === its.default ? undefined : value, set, path, its.default) };
  if (whole) return slider(id, whole, value, set, its.default);
  if (its.type === "array" && its.items?.items) return { alone: true, node: table(id, value, set) };
  const node = el("input", { id, type: "text", value: value || "", maxlength: 80, autocomplete: "off" });
  node.addEventListener("change", () => set(node.value));
  return { alone: true, node };
}

// Rows of numbers, such as 0 0 50 / 100 150 200; what is none is left to the desk to refuse.
function table(id, value, set) {
  const node = el("input", { id, type: "text", value: (value || []).map((row) => row.join(" ")).join(" / "), placeholder: "0 0 50 / 100 150 200", autocomplete: "off" });
  node.addEventListener("change", () => {
    const rows = node.value.split("/").map((row) => row.split(/[\s,]+/).filter(Boolean));
    const sound = rows.flat().every((word) => /^\d+$/.test(word));
    set(!node.value.trim() ? undefined : sound ? rows.map((row) => row.map(Number)) : node.value);
  });
  return node;
}

const span = ({ minimum, maximum }) => Array.from({ length: maximum - minimum + 1 }, (_, n) => minimum + n);

function choice(id, options, value, set, path, own) {
  const plain = (v) => (v === true ? "yes" : v === false ? "no" : v);
  const came = own !== undefined ? plain(own) : drawn[path] === undefined || drawn[path] === null ? OPEN : `${OPEN}: ${plain(drawn[path])}`;
  const text = Array.isArray(value) ? "as drawn" : null;
  const foreign = value !== undefined && !text && !options.some(([v]) => v === value);
  const node = el("select", { id }, el("option", { value: "" }, came),
    ...(foreign ? [el("option", { value: JSON.stringify(value), selected: true }, `${plain(value)}, which there is not`)] : []),
    ...(text ? [el("option", { value: "drawn", selected: true }, text)] : []),
    ...options.map(([v, t]) => el("option", { value: JSON.stringify(v), selected: v === value }, t)));
  node.addEventListener("change", () => node.value !== "drawn" && set(node.value ? JSON.parse(node.value) : undefined));
  return node;
}

function slider(id, { minimum, maximum }, value, set, own) {
  const least = own === undefined ? minimum - 1 : minimum;
  const at = value ?? own ?? least;
  const said = (n) => (n < minimum ? OPEN : `${n}`);
  const output = el("output", { for: id }, said(at));
  const node = el("input", { id, type: "range", min: least, max: maximum, value: at, "aria-valuetext": said(at) });
  const given = () => (Number(node.value) < minimum || Number(node.value) === own ? undefined : Number(node.value));
  node.addEventListener("input", () => {
    output.textContent = said(Number(node.value));
    node.setAttribute("aria-valuetext", said(Number(node.value)));
    set(given(), true);
  });
  node.addEventListener("change", () => set(given()));
  return { alone: true, node, output };
}

function pair(id, two, value, set) {
  const inputs = two.map((one, n) => el("input", {
    id: n ? `${id}-2` : id, type: "number", min: one.minimum, max: one.maximum, value: value?.[n] ?? "", "aria-label": n ? "most, or depth" : "least, or width",
  }));
  const node = el("div", { class: "pair" }, inputs[0], "to", inputs[1]);
  if (id.includes("plot")) node.childNodes[1].textContent = "by";
  node.addEventListener("change", () => {
    const numbers = inputs.map((i) => i.value);
    if (numbers.every((n) => n !== "")) set(numbers.map(Number));
    else if (numbers.every((n) => n === "")) set(undefined);
  });
  return { node };
}

// Nothing ticked leaves it open; where none of them is an answer too, one can tick that.
function many(id, names, given, set, orNone) {
  const value = given || [];
  const tick = (name, n, checked) => el("label", {}, el("input", { id: `${id}-${n}`, type: "checkbox", value: name, checked }), name || "none of them");
  const boxes = [...names, ...value.filter((name) => !names.includes(name))].map((name, n) => tick(name, n, value.includes(name)));
  if (orNone) boxes.push(tick("", "none", given?.length === 0));
  const box = el("div", { class: "many", id }, ...boxes);
  box.addEventListener("change", (event) => {
    const ticked = [...box.querySelectorAll(":checked")].map((one) => one.value).filter(Boolean);
    if (orNone && event.target.value === "") set(event.target.checked ? [] : undefined);
    else set(ticked.length ? ticked : undefined);
  });
  if (names.length < 8) return { node: box };
  return { node: el("details", { class: "pick", "data-name": id, open: opened.has(id) }, el("summary", {}, value.length ? value.join(", ") : "none"), box) };
}

// Rooms as cards.
function rooms(value) {
  const set = (next) => changed("rooms", next);
  const cards = value.map((wish, n) => card(wish, n, (next) => set(value.map((w, m) => (m === n ? next : w))), () => set(value.filter((_, m) => m !== n))));
  const add = el("button", { type: "button", id: "add-room" }, "Add a room");
  add.addEventListener("click", () => {
    const kinds = schema.$defs.Wish.properties.kind.enum, taken = value.map((w) => w.kind);
    const liked = ["study", "library", "bath", "sleeping", ...kinds];
    set([...value, { kind: liked.find((k) => kinds.includes(k) && !taken.includes(k)) || kinds[0] }]);
  });
  const name = "Rooms";
  return el("details", { "data-name": name, "data-keys": "rooms" }, el("summary", { id: "group-rooms" }, value.length ? `Rooms asked for: ${value.length}` : "Rooms"), ...cards, add);
}

function card(wish, n, set, gone) {
  const its = schema.$defs.Wish.properties, id = `f-rooms-${n}`;
  const kind = el("select", { id: `${id}-kind`, "aria-label": `Room ${n + 1}: kind` }, ...[...(its.kind.enum.includes(wish.kind) ? [] : [wish.kind || ""]), ...its.kind.enum].map((k) => el("option", { value: k, selected: k === wish.kind }, k)));
  const count = el("input", { id: `${id}-count`, type: "number", min: 0, max: its.count.maximum, value: wish.count ?? 1, "aria-label": `Room ${n + 1}: how many` });
  const away = el("button", { type: "button", id: `${id}-away`, "aria-label": `Take away room ${n + 1}, ${wish.kind}` }, "Remove");
  kind.addEventListener("change", () => set({ ...wish, kind: kind.value }));
  count.addEventListener("change", () => set({ ...wish, count: Number(count.value) }));
  away.addEventListener("click", gone);
  const more = Object.keys(its).filter((key) => !["kind", "count"].includes(key)).map((key) => {
    const made = field(`rooms.${n}.${key}`, its[key], wish[key]);
    return made;
  });
  const said = Object.keys(wish).some((key) => !["kind", "count"].includes(key));
  return el("div", { class: "card field", "data-path": `rooms.${n}` }, el("div", { class: "head" }, count, kind, away),
    el("details", { open: said || opened.has(`card ${n}`), "data-name": `card ${n}` }, el("summary", { id: `${id}-more` }, "More about it"), ...more));
}

// What is amiss, beside the fields that it is about.
export function wrong(fields = [], sentence = "") {
  document.querySelectorAll(".field.wrong, #wishes > .wrong").forEach((f) => f.classList.remove("wrong"));
  document.querySelectorAll(".field > .error, #wishes > * > .error").forEach((e) => e.remove());
  for (const path of fields) {
    const found = document.querySelector(`.field[data-path="${CSS.escape(path)}"]`) ||
      document.querySelector(`.field[data-path="${CSS.escape(path.split(".").slice(0, -1).join("."))}"]`) ||
      document.querySelector(`#wishes > details[data-keys~="${CSS.escape(path.split(".")[0])}"]`);
    if (!found) continue;
    found.classList.add("wrong");
    found.append(el("p", { class: "error" }, fields.length > 1 ? "This is part of what cannot be met together." : sentence));
    if (found.matches("details")) found.open = true;
    for (let up = found.closest("details"); up; up = up.parentElement.closest("details")) up.open = true;
  }
}
