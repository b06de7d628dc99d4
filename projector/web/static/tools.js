// Small things every page uses: words, elements, asking the desk, telling what happened.
let words = {}, sayings = [];
export let language = "en";
export const t = (key, values = {}) => (words[key] ?? key.replace(/^[a-z]+\./, "").replaceAll("_", " ")).replace(/\{(\w+)\}/g, (_, name) => values[name] ?? "");
export const has = key => key in words;

export async function loadWords(wanted) {
  language = ["en", "fr"].includes(wanted) ? wanted : "en";
  words = await (await fetch(`/file/${language}.json`)).json();
  const told = language === "en" ? {} : await (await fetch(`/file/${language}_said.json`)).json();
  sayings = Object.entries(told).map(([text, own]) => [new RegExp(`^${text.replace(/[.*+?^$()|[\]\\]/g, "\\$&").replace(/\{(\w+)\}/g, "(?<$1>.+?)")}$`), own]);
  document.documentElement.lang = language;
}
// What the program itself says, in the phone's language where that sentence is known; null: it stays English.
const in_own = text => { for (const [pattern, own] of sayings) { const found = pattern.exec(text); if (found) return own.replace(/\{(\w+)\}/g, (_, name) => found.groups[name]); } return null; };
export const said = text => in_own(text) ?? text;
export const foreign = text => (language !== "en" && text && in_own(text) === null ? "en" : undefined);
export const say = (props, text) => h("p", { ...props, text: said(text), lang: foreign(text) });

export function h(tag, props = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(props)) {
    if (value === undefined || value === null || value === false) continue;
    if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
    else if (name === "text") made.textContent = value;
    else made.setAttribute(name, value === true ? "" : value);
  }
  made.append(...children.flat().filter(child => child !== null && child !== undefined && child !== false));
  return made;
}

export function drawn(tag, attributes, text) {
  const made = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  if (text) made.textContent = text;
  return made;
}
export function svg(box, parts, label) {
  const made = drawn("svg", { viewBox: box, ...(label ? { role: "img", "aria-label": label } : { "aria-hidden": "true" }) });
  made.append(...parts.map(([kind, d]) => drawn("path", { class: kind, d })));
  return made;
}
export function parsedSvg(text, label) {
  const made = document.importNode(new DOMParser().parseFromString(text, "image/svg+xml").documentElement, true);
  made.removeAttribute("width"); made.removeAttribute("height");
  made.setAttribute("role", "img"); made.setAttribute("aria-label", label);
  return made;
}

export class Refusal extends Error {
  constructor(told) { super([told.what, told.why, told.next].filter(Boolean).map(said).join(" ")); this.told = told; }
}
async function answer(response) {
  const told = await response.json().catch(() => ({ error: { what: t("no_answer"), why: `${response.status}`, next: "" } }));
  if (told.error) throw new Refusal(typeof told.error === "string" ? { what: told.error } : told.error);
  return told;
}
export const get = async path => answer(await fetch(path));
export const post = async (path, data) => answer(await fetch(path, { method: "POST", body: data instanceof FormData ? data : JSON.stringify(data) }));

export function tell(text) { document.getElementById("message").textContent = text ?? ""; }
// `is_quiet`: the page asks by itself; what was told stays readable.
export async function trying(work, is_quiet = false) {
  try { if (!is_quiet) tell(""); return await work(); } catch (error) {
    if (!(error instanceof Refusal) && !(error instanceof TypeError)) throw error;  // TypeError: fetch without network
    tell(error instanceof Refusal ? error.message : t("no_answer")); return null;
  }
}

// A second tap while the first is at work is the same tap.
export function once(work) {
  let is_busy = false;
  return async (...args) => {
    if (is_busy) return;
    is_busy = true;
    try { await work(...args); } finally { is_busy = false; }
  };
}

// What cannot be taken back: a hold of 0.6 s, or two presses (keyboard, screen reader).
export function firm(button, act) {
  let timer = null, armed = null, held = false;
  const label = button.textContent;
  const calm = () => { clearTimeout(armed); armed = null; button.classList.remove("sure"); button.textContent = button.dataset.label ?? label; };
  button.addEventListener("pointerdown", () => { held = false; timer = setTimeout(() => { held = true; calm(); act(); }, 600); });
  for (const name of ["pointerup", "pointerleave", "pointercancel"]) button.addEventListener(name, () => clearTimeout(timer));
  button.addEventListener("contextmenu", event => event.preventDefault());
  button.addEventListener("click", () => {
    if (held) { held = false; return; }
    if (button.dataset.firm === "no") return act();
    if (armed) { calm(); return act(); }
    button.classList.add("sure"); button.textContent = t("press_again"); armed = setTimeout(calm, 4000);
  });
}

export function later(work, wait_ms) {
  let timer = null;
  return (...args) => { clearTimeout(timer); timer = setTimeout(() => work(...args), wait_ms); };
}
function store(where) {
  return { get: key => { try { return JSON.parse(where().getItem(key)); } catch { return null; } },
    set: (key, value) => { try { where().setItem(key, JSON.stringify(value)); } catch { /* private browsing: not kept */ } },
    drop: key => { try { where().removeItem(key); } catch { /* nothing was kept */ } },
    clear: () => { try { where().clear(); } catch { /* nothing was kept */ } } };
}
export const passing = store(() => sessionStorage);  // what is typed and not kept yet: outlives sleep, not the tab
export const stored = store(() => localStorage);
