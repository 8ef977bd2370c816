// Take away: the folder as an archive, the guide, single files, in words of one's own, or saved here.
import { $, el } from "./paper.js";
import { ask, send } from "./net.js";
import { address, house } from "./state.js";

let names = "";

export function fill() {
  $("take-zip").href = `/zip?${house()}`;
  $("take-guide").href = `/file?${house()}&file=guide.html`;
  $("take-names").href = `/names?${house()}`;
  unlisted();
  $("link").value = location.origin + location.pathname + address();
}

const told = (text) => { $("taken").textContent = text; document.querySelectorAll("#take .error").forEach((one) => one.remove()); };

// What is amiss stands beside the field that it is about.
function refused(error, field) {
  const place = (error.told?.fields || []).includes(field) && $("take").querySelector(`[data-path="${field}"]`);
  told(place ? "" : error.message);
  if (place) place.append(el("p", { class: "error", role: "alert" }, error.message));
}

// What is asked for, in words of one's own where there are some: these are too long for an address.
const wished = (path, more = {}) => {
  const words = [...new URLSearchParams(house()), ...Object.entries(more)];
  return names && path !== "/names" ? send(path, [...words, ["names", names]]) : ask(`${path}?${new URLSearchParams(words)}`, path);
};

async function list() {
  if ($("file").options.length > 1) return;
  told("Drawing all its files…");
  try {
    const files = await (await wished("/files")).json();
    $("file").replaceChildren(el("option", { value: "" }, "Choose one"), ...files.map((f) => el("option", { value: f.name }, `${f.name}, ${Math.ceil(f.bytes / 1024)} KB`)));
    told(`${files.length} files.`);
  } catch (error) { refused(error, "names"); }
}

function unlisted() {
  $("file").replaceChildren(el("option", { value: "" }, "List them (takes a few seconds)"));
  $("take-file").hidden = true;
}

async function take(event, path, more) {
  event.preventDefault();
  told(names && path !== "/names" ? "Drawing it in your words…" : "Drawing all its pictures; this takes some seconds…");
  try {
    const response = await wished(path, more);
    const link = el("a", { href: URL.createObjectURL(await response.blob()), download: response.headers.get("content-disposition").split('"')[1] });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
    told("There it is, among your downloads.");
  } catch (error) { refused(error, "names"); }
}

function named(text) {
  names = text;
  $("unnamed").hidden = !names;
  unlisted();
}

export function begin() {
  for (const name of ["pointerdown", "keydown"]) $("file").addEventListener(name, list);
  $("file").addEventListener("change", () => {
    $("take-file").hidden = !$("file").value;
    $("take-file").href = `/file?${house()}&file=${encodeURIComponent($("file").value)}`;
  });
  $("take-zip").addEventListener("click", (event) => take(event, "/zip"));
  $("take-guide").addEventListener("click", (event) => take(event, "/file", { file: "guide.html" }));
  $("take-names").addEventListener("click", (event) => take(event, "/names"));
  $("take-file").addEventListener("click", (event) => take(event, "/file", { file: $("file").value }));
  $("names").addEventListener("change", async () => {
    const file = $("names").files[0];
    named(file && file.size < 200000 ? await file.text() : "");
    told(names ? "All that you take is in your words now." : "");
    if (file && !names) refused({ message: "A table of names has from 1 to 200 000 letters.", told: { fields: ["names"] } }, "names");
  });
  $("unnamed").addEventListener("click", () => {
    $("names").value = "";
    named("");
    told("All that you take is in the desk's words again.");
    $("names").focus();
  });
  $("saving")?.addEventListener("submit", async (event) => {
    event.preventDefault();
    told("Saving…");
    try {
      const words = [...new URLSearchParams(house()), ["name", $("name").value], ["names", names]];
      const saved = await (await send("/save", words)).json();
      told(`Saved as ${saved.folder}, in the desk's folder.`);
    } catch (error) { refused(error, error.told?.fields?.[0]); }
  });
  $("link").addEventListener("focus", () => $("link").select());
}
