// At the table with hands full: what to do now, next, back, done; what I see, where it lies.
import { ask, desk } from "./page.js";
import { firm, get, h, has, svg, t, trying } from "./tools.js";

const words_of = offer => (has(`offer.${offer.name}`) ? t(`offer.${offer.name}`) : offer.words);
const ORDER = ["cloth", "level", "grain", "fold", "sew", "notch", "dart", "point", "cut"];

export function offers_of(group, skip = []) {
  const row = h("div", { class: "row" });
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

function pad() {
  const row = h("div", { class: "pad" });
  for (const far of [1, 10]) for (const [sign, word, dx, dy] of [["◀", "left", -1, 0], ["▶", "right", 1, 0], ["▲", "away", 0, 1], ["▼", "near", 0, -1]])
    row.append(h("button", { type: "button", "aria-label": t(`move.${word}`, { far }), text: `${sign} ${far}`, onclick: () => ask("move", { dx_mm: dx * far, dy_mm: dy * far }) }));
  for (const deg of [0.1, -0.1, 90, -90]) row.append(h("button", { type: "button", "aria-label": t(deg > 0 ? "turn.left" : "turn.right", { deg: Math.abs(deg) }), text: `${deg > 0 ? "↺" : "↻"} ${Math.abs(deg)}°`, onclick: () => ask("turn", { deg }) }));
  return row;
}

function step_picture(drawing, title) {
  const kinds = Object.entries(drawing.paths).sort(([a], [b]) => ORDER.indexOf(a.split(" ")[0]) - ORDER.indexOf(b.split(" ")[0]) || (a.includes("now") ? 1 : -1));
  return svg(drawing.box.join(" "), kinds, title);
}

export function cutScreen() {
  const count = h("p", { class: "count" }), title = h("h1", { id: "title", text: t("one_moment") }), say = h("p", { id: "say" });
  const facts = h("p", { class: "dim" }), picture = h("div", { class: "step" });
  const back = h("button", { type: "button", id: "back", text: t("back"), onclick: () => ask("back") });
  const next = h("button", { type: "button", id: "next", text: t("next"), onclick: () => ask("next") });
  const done = h("button", { type: "button", id: "done", class: "main", text: t("done"), "data-firm": "no" });
  firm(done, () => ask("done"));
  const list = h("ol", { class: "list" });
  const steps = h("details", {}, h("summary", { text: t("all_steps") }), list);
  steps.addEventListener("toggle", () => { if (steps.open) fill(); });
  let shown = null, of_order = null;

  async function fill() {
    const told = await trying(() => get("/steps"));
    if (!told) return;
    list.replaceChildren(...told.steps.map((step, number) => h("li", {}, h("button", { type: "button", "aria-current": number === desk.now?.step ? "step" : undefined, text: `${number + 1}  ${step.title}${desk.now?.done.includes(number) ? "  ✓" : ""}`, onclick: () => { steps.open = false; ask("go", { step: number }); } }))));
  }
  async function step_facts(snapshot) {
    const told = await trying(() => get(`/steps/${snapshot.step}`));
    if (!told || desk.now.step !== snapshot.step) return;
    done.dataset.firm = told.is_fact ? "yes" : "no";
    done.dataset.label = t(told.is_fact ? "done_cut" : "done");
    if (!done.classList.contains("sure")) done.textContent = done.dataset.label;
    const layers = told.layers.through ? t("through_layers", { n: told.layers.through, of: told.layers.lying }) : "";
    facts.textContent = [layers, ...told.needs].filter(Boolean).join(" · ");
    picture.hidden = !Object.keys(told.drawing.paths).length;
    picture.replaceChildren(step_picture(told.drawing, snapshot.title));
  }
  const element = h("div", {},
    count, title, say, facts, picture,
    h("div", { class: "cutting" }, back, next, done),
    h("h2", { text: t("group.see") }), offers_of("what I see"),
    h("h2", { text: t("group.lies") }), offers_of("where it lies", ["move", "turn"]), h("div", { class: "card" }, pad()),
    steps);
  return {
    element,
    update(snapshot) {
      count.textContent = snapshot.of ? `${snapshot.step + 1} / ${snapshot.of}` : "";
      title.textContent = snapshot.of ? snapshot.title : t(snapshot.job ? "one_moment" : "no_order");
      say.textContent = snapshot.say;
      pressed(element, snapshot);
      for (const button of [back, next, done]) button.disabled = !snapshot.of;
      if (snapshot.of && (shown !== snapshot.step || of_order !== snapshot.order)) { shown = snapshot.step; of_order = snapshot.order; step_facts(snapshot); }
      if (steps.open) fill();
    },
  };
}
