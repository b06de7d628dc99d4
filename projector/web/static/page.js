// The frame of the page: state, six screens after her afternoon, live by server-sent events, stale when the phone slept.
import { cutScreen } from "./cut.js";
import { clientScreen } from "./client.js";
import { clothScreen } from "./cloth.js";
import { dressScreen } from "./dress.js";
import { fittingScreen } from "./fitting.js";
import { ICONS } from "./figure.js";
import { tableScreen } from "./table.js";
import { get, h, loadWords, post, said, stored, svg, t, tell, trying } from "./tools.js";

const SCREENS = { table: tableScreen, client: clientScreen, dress: dressScreen, cloth: clothScreen, cut: cutScreen, fitting: fittingScreen };
const at = id => document.getElementById(id);
export const desk = { now: null, facts: null, offers: [] };
const SILENT_MS = 16000;
let screen = null, stream = null, last_told = "";

export async function ask(name, args = {}, from_step = desk.now?.step ?? null) {
  return trying(async () => { const told = await post("/command", { name, args, from_step }); show(told); return told; });
}

function show(snapshot) {
  if (desk.now && snapshot.number < desk.now.number) return;  // an older answer that came late
  desk.now = snapshot;
  at("state").textContent = t(`state.${snapshot.state}`);
  at("state").dataset.state = snapshot.state;
  at("order").textContent = snapshot.order;
  const message = snapshot.message;
  const told = said(snapshot.job) || (message ? [message.what, message.why, message.next_step].filter(Boolean).map(said).join(" ") : said(snapshot.stop_reason));
  if (told !== last_told) tell(told);
  last_told = told;
  screen?.update?.(snapshot);
  document.body.dataset.number = snapshot.number;
}

function stale(is_stale, text = t("stale")) {
  at("stale").hidden = !is_stale;
  at("stale").textContent = is_stale ? text : "";
  document.body.classList.toggle("old", is_stale);
}

// The desk gives a sign of life every few seconds: silence means that the phone is out of reach, whatever the line says.
let heard_at = 0;
function listen() {
  stream?.close();
  heard_at = Date.now();
  stream = new EventSource("/events");
  let is_first = false;
  stream.onopen = () => { is_first = true; };
  stream.onmessage = event => {
    heard_at = Date.now();
    stale(false);
    if (is_first) desk.now = null;  // a desk that was started again counts from the beginning: what it says first is how it stands
    is_first = false;
    show(JSON.parse(event.data));
  };
  stream.addEventListener("alive", () => { heard_at = Date.now(); stale(false); });
  stream.onerror = async () => {
    stale(true);
    if (stream.readyState !== EventSource.CLOSED) return;  // the browser tries again by itself
    const answer = await fetch("/state").catch(() => null);
    if (answer?.status === 403) stale(true, t("scan_again"));
    setTimeout(listen, 2000);
  };
}
setInterval(() => { if (heard_at && Date.now() - heard_at > SILENT_MS) { stale(true); listen(); } }, 3000);

function route() {
  const name = location.hash.slice(1).split("/")[0];
  if (name && !(name in SCREENS)) return;
  const shown = name || "cut";
  for (const link of at("nav").children) shown === link.dataset.name ? link.setAttribute("aria-current", "page") : link.removeAttribute("aria-current");
  tell("");
  if (desk.now?.message?.kind !== "note" || desk.now.job) last_told = "";  // a note was read; a refusal or a stop stays
  screen = SCREENS[shown]();
  at("main").replaceChildren(screen.element);
  at("main").dataset.screen = shown;
  document.title = `${t(`nav.${shown}`)} · ${t("page")}`;
  if (desk.now) show(desk.now);
  window.scrollTo(0, 0);
}

function dress_frame() {
  at("nav").setAttribute("aria-label", t("screens"));
  at("nav").replaceChildren(...Object.keys(SCREENS).map(name => h("a", { href: `#${name}`, "data-name": name }, svg("0 0 24 24", [["ink", ICONS[name]]]), h("span", { text: t(`nav.${name}`) }))));
  at("to-main").textContent = t("to_main");
  set_theme(stored.get("theme") ?? "dark");
}

function set_theme(name) {
  document.documentElement.dataset.theme = name;
  at("theme").textContent = name === "dark" ? "☀" : "☾";
  at("theme").setAttribute("aria-label", t(name === "dark" ? "to_light" : "to_dark"));
}

export async function speak(language) {
  stored.set("language", language);
  await loadWords(language);
  dress_frame();
  route();
}

at("theme").addEventListener("click", () => {
  const name = document.documentElement.dataset.theme === "dark" ? "light" : "dark";
  stored.set("theme", name);
  set_theme(name);
});
document.addEventListener("visibilitychange", () => { if (!document.hidden) { stale(true); listen(); } });
window.addEventListener("offline", () => stale(true));
window.addEventListener("online", listen);
window.addEventListener("hashchange", () => { route(); at("main").focus({ preventScroll: true }); });

await loadWords(stored.get("language") ?? navigator.language.slice(0, 2));
async function start() {
  try {
    const [facts, offers] = await Promise.all([get("/facts"), get("/offers")]);
    desk.facts = facts;
    desk.offers = offers.offers;
  } catch (error) {
    stale(true, error.told?.what ?? t("no_answer"));
    setTimeout(start, 3000);
    return;
  }
  stale(false);
  dress_frame();
  route();
  listen();
}
start();
