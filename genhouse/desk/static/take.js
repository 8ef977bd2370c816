// Take away: the folder as an archive, the guide, single files, in words of one's own, or saved here.
import { $, el } from "./paper.js";
import { ask, asked, send } from "./net.js";
import { address, house } from "./state.js";

let names = "";

export function fill() {
  $("take-zip").href = `/zip?${house()}`;
  $("take-guide").href = `/file?${house()}&file=guide.html`;
  $("take-names").href = `/names?${house()}`;
  $("file").replaceChildren(el("option", { value: "" }, "List them (takes a few seconds)"));
  $("take-file").hidden = true;
  $("link").value = location.origin + location.pathname + address();
}

const told = (text) => { $("taken").textContent = text; document.querySelectorAll("#take .error").forEach((one) => one.remove()); };

// What is amiss stands beside the field that it is about.
function refused(error, field) {
  const place = (error.told?.fields || []).includes(field) && $("take").querySelector(`[data-path="${field}"]`);
  told(place ? "" : error.message);
  if (place) place.append(el("p", { class: "error", role: "alert" }, error.message));
}

async function list() {
  if ($("file").options.length > 1) return;
  told("Drawing all its files…");
  try {
    const files = await asked(`/files?${house()}`, "files");
    $("file").replaceChildren(el("option", { value: "" }, "Choose one"), ...files.map((f) => el("option", { value: f.name }, `${f.name}, ${Math.ceil(f.bytes / 1024)} KB`)));
    told(`${files.length} files.`);
  } catch (error) { told(error.message); }
}

async function download(response, name) {
  const link = el("a", { href: URL.createObjectURL(await response.blob()), download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10000);
}

export function begin() {
  for (const name of ["pointerdown", "keydown"]) $("file").addEventListener(name, list);
  $("file").addEventListener("change", () => {
    $("take-file").hidden = !$("file").value;
    $("take-file").href = `/file?${house()}&file=${encodeURIComponent($("file").value)}`;
  });
  for (const id of ["take-zip", "take-guide", "take-names", "take-file"]) $(id).addEventListener("click", async (event) => {
    event.preventDefault();
    told("Drawing all its pictures; this takes some seconds…");
    try {
      const response = await ask($(id).href, id);
      await download(response, response.headers.get("content-disposition").split('"')[1]);
      told("There it is, among your downloads.");
    } catch (error) { told(error.message); }
  });
  $("names").addEventListener("change", async () => {
    const file = $("names").files[0];
    names = file && file.size < 200000 ? await file.text() : "";
    $("take-named").disabled = !names;
    told("");
    if (file && !names) refused({ message: "A table of names has from 1 to 200 000 letters.", told: { fields: ["names"] } }, "names");
  });
  $("take-named").addEventListener("click", async () => {
    told("Drawing it in your words…");
    try {
      const words = [...new URLSearchParams(house()), ["names", names]];
      await download(await send("/zip", words), "house-own-names.zip");
      told("There it is, among your downloads.");
    } catch (error) { refused(error, "names"); }
  });
  $("saving")?.addEventListener("submit", async (event) => {
    event.preventDefault();
    told("Saving…");
    try {
      const saved = await (await send("/save", [...new URLSearchParams(house()), ["name", $("name").value]])).json();
      told(`Saved as ${saved.folder}, in the desk's folder.`);
    } catch (error) { refused(error, "name"); }
  });
  $("link").addEventListener("focus", () => $("link").select());
}
