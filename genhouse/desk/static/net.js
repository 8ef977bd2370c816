// Asking the desk: a newer wish of a kind ends the older; a busy desk is asked again; what fails is said.
const visitor = Array.from(crypto.getRandomValues(new Uint32Array(4)), (n) => n.toString(36)).join("");
const under = new Map();
const PATIENCE = [300, 800, 2000];

export class Refusal extends Error {
  constructor(status, told) {
    super(told.sentence);
    this.status = status;
    this.told = told;
  }
}

export async function ask(path, kind = "", options = {}) {
  if (kind) under.get(kind)?.abort();
  const control = new AbortController();
  if (kind) under.set(kind, control);
  const headers = { "X-Desk-Visitor": visitor, ...(kind ? { "X-Desk-Kind": kind } : {}), ...options.headers };
  for (let tries = 0; ; tries += 1) {
    let response;
    try {
      response = await fetch(path, { ...options, headers, signal: control.signal });
    } catch (error) {
      if (control.signal.aborted) throw new Refusal(409, { sentence: "A newer wish came." });
      throw new Refusal(0, { sentence: "The desk does not answer. Is it still running?" });
    }
    const status = Number(response.headers.get("x-desk-status") || response.status);
    if (status === 200) return response;
    const told = await response.json().catch(() => ({ sentence: "The desk stumbled; what you asked for was not drawn." }));
    if (status !== 503 || tries >= PATIENCE.length) throw new Refusal(status, told);
    await new Promise((later) => setTimeout(later, PATIENCE[tries]));
  }
}

export const asked = async (path, kind) => (await ask(path, kind)).json();

export function send(path, words) {
  const headers = { "Content-Type": "application/x-www-form-urlencoded" };
  return ask(path, "", { method: "POST", body: new URLSearchParams(words).toString(), headers });
}

// A picture into an image: the one before stays until the new one is there.
export async function shown(image, path, kind) {
  const blob = await (await ask(path, kind)).blob();
  const before = image.src;
  image.src = URL.createObjectURL(blob);
  if (before.startsWith("blob:")) URL.revokeObjectURL(before);
  await image.decode().catch(() => {});
}

export const late = (error) => error instanceof Refusal && error.status === 409;
