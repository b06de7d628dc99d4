// At the table with hands full: what to do now, next, back, done always at the same place; what I see, where it lies.
import { besides } from "./beside.js";
import { ask, desk } from "./page.js";
import { tapeRows } from "./tape.js";
import { drawn, firm, get, h, has, language, post, svg, t, tell, trying } from "./tools.js";

const words_of = offer => (has(`offer.${offer.name}`) ? t(`offer.${offer.name}`) : offer.words);
const ORDER = ["cloth", "level", "grain", "fold", "sew", "notch", "dart", "point", "cut"];

export function offers_of(group, skip = []) {
  const row = h("div", { class: "row offers" });
  for (const offer of desk.offers.filter(each => each.group === group && !skip.includes(each.name))) {
    row.append(h("button", { type: "button", "data-name": offer.name, text: words_of(offer), onclick: () => ask(offer.name) }));
  }
  return row;
}
export function pressed(element, snapshot) {
  const see = snapshot.see;
  for (const button of element.querySelectorAll("button[data-name]")) {
    const name = button.dataset.name;
    const on = { light_off: see.light === "off", plain_light: see.light === "plain", help: snapshot.is_help }[name] ?? (name in see ? see[name] : snapshot.mode === name);
    if (typeof on === "boolean") button.setAttribute("aria-pressed", on);
  }
}

// One pad: mm along her own right hand and away from her, turns in degrees.
export function pad() {
  let far = 1;
  const push = (sign, word, dx, dy) => h("button", { type: "button", class: "arrow", "data-move": word, text: sign, onclick: () => ask("move", { dx_mm: dx * far, dy_mm: dy * far }) });
  const turn = deg => h("button", { type: "button", "aria-label": t(deg > 0 ? "turn.left" : "turn.right", { deg: Math.abs(deg) }), text: `${deg > 0 ? "↺" : "↻"} ${Math.abs(deg)}°`, onclick: () => ask("turn", { deg }) });
  const arrows = h("div", { class: "cross-pad" }, h("span", {}), push("▲", "away", 0, 1), h("span", {}), push("◀", "left", -1, 0), h("span", {}), push("▶", "right", 1, 0), h("span", {}), push("▼", "near", 0, -1), h("span", {}));
  const steps = h("div", { class: "row", role: "group", "aria-label": t("hand.far") }, [0.5, 1, 10, 100].map(mm => h("button", { type: "button", "data-far": mm, text: `${mm}`, onclick: () => choose(mm) })), h("span", { class: "unit", text: "mm" }));
  function choose(mm) {
    far = mm;
    for (const button of steps.querySelectorAll("button")) button.setAttribute("aria-pressed", Number(button.dataset.far) === far);
    for (const button of arrows.querySelectorAll("button")) button.setAttribute("aria-label", t(`move.${button.dataset.move}`, { far }));
  }
  choose(far);
  return h("div", { class: "card hand" }, arrows, steps, h("div", { class: "row" }, [0.1, -0.1, 90, -90].map(turn)));
}

function step_picture(drawing, title) {
  const kinds = Object.entries(drawing.paths).sort(([a], [b]) => ORDER.indexOf(a.split(" ")[0]) - ORDER.indexOf(b.split(" ")[0]) || (a.includes("now") ? 1 : -1));
  const made = svg(drawing.box.join(" "), kinds, title), size = Math.max(...drawing.box.slice(2)) / 14;
  made.append(...drawing.letters.map(([x, y, letter]) => drawn("text", { class: "letter", x, y, "font-size": size }, letter)));
  return made;
}

function parked() {
  const list = h("ul", { class: "list" });
  const element = h("details", { id: "parked" }, h("summary", { text: t("parked.title") }), list);
  element.addEventListener("toggle", () => { if (element.open) trying(async () => {
    const told = (await get("/parked")).parked.filter(each => each.name !== desk.now?.order);
    const open = name => trying(async () => { element.open = false; tell(t("one_moment")); await post("/open", { name }); });
    list.replaceChildren(...(told.length ? told.map(each => h("li", {}, h("button", { type: "button", text: t("parked.at", { name: each.name, step: each.step, done: each.done }), onclick: () => open(each.name) }))) : [h("li", { class: "dim", text: t("parked.none") })]));
  }); });
  return element;
}

export function cutScreen() {
  const count = h("p", { class: "count" }), title = h("h1", { id: "title", text: t("one_moment") }), say = h("p", { id: "say" });
  const facts = h("p", { class: "layers" }), needs = h("ul", { class: "needs", "aria-label": t("needs") }), picture = h("div", { class: "step" }), tapes = h("div", {});
  const back = h("button", { type: "button", id: "back", text: t("back"), onclick: () => ask("back") });
  const dark = h("button", { type: "button", id: "dark", "data-name": "light_off", text: t("light_off"), onclick: () => ask("light_off") });
  const next = h("button", { type: "button", id: "next", text: t("next"), onclick: () => ask("next") });
  const done = h("button", { type: "button", id: "done", class: "main", text: t("done"), "data-firm": "no" });
  firm(done, () => ask("done"));
  const list = h("ul", { class: "list" }), beside = besides();
  const steps = h("details", {}, h("summary", { text: t("all_steps") }), list);
  steps.addEventListener("toggle", () => { if (steps.open) fill(); });
  let shown = "", said = [], said_for = "";

  // The table speaks its own language; the phone its own.
  async function translate(snapshot, key) {
    if (language === "en" || said_for === key) return;
    said_for = key;
    said = (await trying(() => get(`/said/${language}`), true))?.said ?? [];
    if (desk.now.step === snapshot.step) name(desk.now);
  }
  function name(snapshot) {
    const own = said[snapshot.step];
    title.textContent = !snapshot.of ? t(snapshot.job ? "one_moment" : "no_order") : own ? own[0] : snapshot.title;
    say.textContent = own ? own[1] : snapshot.say;
  }

  async function fill() {
    const told = await trying(() => get("/steps"), true);
    if (!told) return;
    list.replaceChildren(...told.steps.map((step, number) => h("li", {}, h("button", { type: "button", "aria-current": number === desk.now?.step ? "step" : undefined, text: `${number + 1}  ${said[number]?.[0] ?? step.title}${desk.now?.done.includes(number) ? "  ✓" : ""}`, onclick: () => { steps.open = false; ask("go", { step: number }); } }))));
  }
  async function step_facts(snapshot) {
    const told = await trying(() => get(`/steps/${snapshot.step}`), true);
    if (!told || desk.now.step !== snapshot.step) return;
    done.dataset.firm = told.is_fact ? "yes" : "no";
    done.dataset.label = t(told.is_fact ? "done_cut" : "done");
    if (!done.classList.contains("sure")) done.textContent = done.dataset.label;
    const layers = told.layers.through ? t("through_layers", { n: told.layers.through, of: told.layers.lying }) : "";
    facts.textContent = layers;
    needs.replaceChildren(...(said[snapshot.step]?.[2] ?? told.needs).map(text => h("li", { text })));
    picture.hidden = !Object.keys(told.drawing.paths).length;
    picture.replaceChildren(step_picture(told.drawing, snapshot.title));
    tapes.replaceChildren(told.tapes.length ? tapeRows(told.tapes) : "");
    say.hidden = told.tapes.length > 0;  // its rows say the same
  }
  const element = h("div", { class: "at-the-table" },
    h("div", { class: "head" }, count, facts), h("div", { role: "status" }, title, say), needs, tapes, picture, beside.now,
    h("h2", { text: t("group.see") }), offers_of("what I see", ["light_off"]),
    h("h2", { text: t("group.lies") }), offers_of("where it lies", ["move", "turn"]), pad(),
    h("h2", { text: t("group.more") }), beside.element, parked(), steps,
    h("div", { class: "cutting" }, back, dark, next, done));
  return {
    element,
    update(snapshot) {
      count.textContent = snapshot.of ? `${snapshot.step + 1} / ${snapshot.of}` : "";
      name(snapshot);
      if (snapshot.of) translate(snapshot, `${snapshot.order} ${snapshot.of} ${snapshot.op === "check" && snapshot.message ? snapshot.number : ""}`);
      pressed(element, snapshot);
      for (const button of [back, next, done]) button.disabled = !snapshot.of;
      const is_changed = snapshot.op === "check" && snapshot.message ? snapshot.number : "";  // a number was changed, here or on another phone
      const key = `${snapshot.order} ${snapshot.step} ${is_changed}`;
      if (snapshot.of && shown !== key) { if (shown && !shown.startsWith(`${snapshot.order} ${snapshot.step} `)) window.scrollTo(0, 0); shown = key; step_facts(snapshot); beside.update(snapshot); }
      if (steps.open) fill();
    },
  };
}
