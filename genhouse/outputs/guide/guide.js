"use strict";
(() => {
  const root = document.documentElement;
  root.classList.add("scripted");
  const key = "genhouse " + root.dataset.house;
  let done = {};
  try { done = JSON.parse(localStorage.getItem(key) || "{}"); } catch { done = {}; }
  const keep = () => { try { localStorage.setItem(key, JSON.stringify(done)); } catch { /* nowhere to keep it */ } };
  const boxes = [...document.querySelectorAll("input[data-tick]")];
  const count = document.getElementById("ticked");
  const show = box => {
    box.closest("tr, section").classList.toggle("done", box.checked);
    const steps = boxes.filter(b => b.dataset.tick.startsWith("step"));
    if (count) count.textContent = `${steps.filter(b => b.checked).length} of ${steps.length} steps done`;
  };
  for (const box of boxes) {
    box.checked = Boolean(done[box.dataset.tick]);
    show(box);
    box.addEventListener("change", () => {
      if (box.checked) done[box.dataset.tick] = 1; else delete done[box.dataset.tick];
      keep();
      show(box);
    });
  }
  const steps = [...document.querySelectorAll("section.stage")];
  let at = -1;
  const model = mountMaquette(document.getElementById("maquette"), JSON.parse(document.getElementById("model-data").textContent), { onStep: n => { at = n - 1; } });
  for (const button of document.querySelectorAll("button[data-step]"))
    button.addEventListener("click", () => {
      model.step(Number(button.dataset.step));
      document.getElementById("model").scrollIntoView({ block: "start" });
      document.querySelector("#maquette canvas, #maquette input").focus({ preventScroll: true });
    });
  const go = n => {
    at = Math.max(0, Math.min(steps.length - 1, n));
    model.step(at + 1);
    steps[at].scrollIntoView({ block: "start" });
    steps[at].querySelector("h3").focus({ preventScroll: true });
    document.getElementById("at").textContent = `Step ${at + 1} of ${steps.length}`;
  };
  document.getElementById("before").addEventListener("click", () => go(at - 1));
  document.getElementById("after").addEventListener("click", () => go(at + 1));
  const slider = document.getElementById("layer");
  const sheets = [...document.querySelectorAll("figure.sheet")];
  const layer = () => {
    sheets.forEach((sheet, n) => sheet.classList.toggle("aside", n !== Number(slider.value)));
    document.getElementById("layer-name").textContent = sheets[slider.value].dataset.title;
    slider.setAttribute("aria-valuetext", sheets[slider.value].dataset.title);
  };
  slider.addEventListener("input", layer);
  layer();
  addEventListener("keydown", event => {
    if (event.altKey || event.ctrlKey || event.metaKey || /^(INPUT|BUTTON|SELECT)$/.test(event.target.tagName)) return;
    if (event.key === "n") go(at + 1);
    if (event.key === "p") go(at - 1);
  });
})();
