// The dress: its choices, the flat sketch and the pieces drawn again as she chooses, girths, seams, warnings.
import { as_taped, client_names, trade } from "./client.js";
import { trim_cards } from "./fitting.js";
import { choices, hand, keep_hand, order_bar, save_hand } from "./order.js";
import { desk } from "./page.js";
import { style_picture } from "./picture.js";
import { h, has, later, once, parsedSvg, post, say, svg, t, trying } from "./tools.js";

const OF_BODICE = ["neck", "princess", "sleeve", "facings", "neck_widen_mm", "neck_drop_mm", "back_neck_mm", "peplum_mm", "inset"];
const ONLY = { circle_turn: ["skirt", "circle"], taper_mm: ["skirt", "tapered"], flare_mm: ["skirt", "a_line"], inset: ["neck", "v"] };

export function dressScreen() {
  const body = h("div", {}), result = h("div", { id: "look", "aria-live": "polite" });
  let tape = desk.now?.unit ?? "in", amounts = [];  // amounts are shown as the client's own tape reads them
  let asked = 0, is_open = false;  // pieces are drawn only while they are looked at: they take as long as all the rest
  const look = later(async () => {
    if (!hand.order?.client) return;
    const mine = ++asked;
    try {
      const told = await post("/look", { order: hand.order, pieces: is_open });
      if (mine !== asked) return;
      if (told.unit !== tape) { tape = told.unit; for (const each of amounts) each(); }
      show_look(result, told, is_open, open => { is_open = open; if (open) look(); });
    }
    catch (error) { if (mine === asked) result.replaceChildren(h("p", { class: "stop", text: error.message })); }
  }, 60);
  const fields = {};  // a choice that says nothing for this dress is not asked
  const apt = style => { for (const [key, field] of Object.entries(fields)) field.hidden = (key in ONLY && style[ONLY[key][0]] !== ONLY[key][1]) || (OF_BODICE.includes(key) && !style.bodice) || (key === "facings" && style.sleeve === "off_shoulder"); };
  const set = (key, value) => { hand.order.style = { ...hand.order.style, [key]: value }; apt({ ...desk.facts.default, ...hand.order.style }); keep_hand(); look(); for (const each of amounts) each(); };
  // One amount on a slider, in eighths for inches; `off`: what stands at its lower end for none of it.
  function amount(key, low, high, off) {
    const shown = h("output", {}), step = 3.175, none = off !== undefined;
    const slider = h("input", { type: "range", id: `s-${key}`, min: none ? low - step : low, max: high, step: "any" });
    const value = () => ({ ...desk.facts.default, ...hand.order.style })[key];
    const as_said = () => { const now = value(); shown.textContent = typeof now === "number" && (!none || now >= low) ? as_taped(now, tape) : t(`choice.${now || "none"}`); };
    const tell_apart = () => { const now = value(); if (document.activeElement !== slider) slider.value = typeof now === "number" ? now : low - step; as_said(); if (key in fields && fields[key].querySelectorAll) for (const each of fields[key].querySelectorAll("input[type=radio]")) each.checked = each.value === String(now); };
    slider.addEventListener("input", () => { const typed = Number(slider.value), size = tape === "in" ? step : 5, exact = Math.round(typed / size) * size; set(key, none && typed < low ? off : Math.min(high, Math.max(low, exact))); });
    amounts.push(tell_apart);
    queueMicrotask(tell_apart);
    return h("div", { class: "row" }, h("label", { class: "grow", for: `s-${key}`, text: has(`amount.${key}`) ? t(`amount.${key}`) : has(`style.${key}`) ? t(`style.${key}`) : desk.facts.help[key] }), shown, slider);
  }
  function show() {
    if (!hand.order) { body.replaceChildren(h("p", { class: "dim", text: t("dress.none") })); return; }
    const style = { ...desk.facts.default, ...hand.order.style };
    const client = h("select", { id: "client", onchange: () => { hand.order.client = client.value; keep_hand(); look(); } });
    trying(async () => { const names = await client_names(); client.replaceChildren(h("option", { value: "", text: t("dress.whose") }), ...names.map(each => h("option", { value: each.name, text: each.name }))); client.value = typeof hand.order.client === "string" ? hand.order.client : ""; });
    const name = h("input", { type: "text", id: "order-name", value: hand.order.name, maxlength: "80", oninput: () => { hand.order.name = name.value; keep_hand(); } });
    amounts = [];
    const numbers = [...Object.entries(desk.facts.ranges), ...Object.entries(desk.facts.optional)].map(([key, range]) => {
      const row = amount(key, ...range);
      if (key !== "length") fields[key] = row;
      return row;
    });
    body.replaceChildren(
      h("label", { for: "order-name", text: t("dress.name") }), h("div", { class: "row" }, name), h("label", { for: "client", text: t("dress.whose") }), h("div", { class: "row" }, client),
      result, ...Object.entries(desk.facts.choices).map(([key, values]) => { fields[key] = choices(key, values, style[key], value => set(key, value)); return fields[key]; }),
      h("details", {}, h("summary", { text: t("dress.amounts") }), ...numbers), style_picture("orders", () => hand.order.name, () => hand.order.client),
      h("p", {}, h("button", { type: "button", class: "main", id: "save-order", text: t("save"), onclick: once(() => trying(save_hand)) })));
    apt(style);
    look();
  }
  show();
  return { element: h("div", {}, h("h1", { text: t("nav.dress") }), order_bar(show), body) };
}

// A narrow skirt: a question, answered before cutting; the answer stands on the order's note.
const WAYS = ["vent", "slit", "neither"];
function walking(told) {
  const line = way => `${t("walk.title")}: ${t(`walk.${way}`)}`, note = hand.order.note ?? "";
  const field = h("fieldset", { class: "choices" }, h("legend", { text: t("walk.ask", told) }));
  for (const way of WAYS) {
    const input = h("input", { type: "radio", name: "walk", value: way, "data-choice": `walk ${way}`, onchange: () => { hand.order.note = [...(hand.order.note ?? "").split("\n").filter(text => !text.startsWith(`${t("walk.title")}:`)), line(way)].filter(Boolean).join("\n"); keep_hand(); } });
    input.checked = note.split("\n").includes(line(way));
    field.append(h("label", { class: "choice" }, input, h("span", {}, h("b", { text: t(`walk.${way}`) }), h("small", { text: t("walk.steps", { far: way === "neither" ? told.without : told.with }) }))));
  }
  return field;
}

function show_look(result, told, is_open, on_open) {
  const views = Object.entries(told.sketch).map(([side, view]) => svg(view.box.join(" "), [["ink", view.d]], t(`view.${side}`)));
  const trade_of = key => trade(desk.facts.measures.find(each => each.key === key) ?? { key, trade: key });
  const pieces = h("details", { open: is_open, id: "pieces" }, h("summary", { text: t("dress.pieces", { n: told.cut.reduce((sum, piece) => sum + piece.count, 0) }) }), told.pieces ? h("div", { class: "drawing", tabindex: "0", role: "region", "aria-label": t("dress.drawing") }, parsedSvg(told.pieces, t("dress.drawing"))) : h("p", { class: "dim", text: t("one_moment") }));
  pieces.addEventListener("toggle", () => { if (pieces.open !== is_open) on_open(pieces.open); });
  result.replaceChildren(
    h("div", { class: "sketch card" }, views),
    h("table", {}, h("tr", {}, h("th", { text: t("dress.finished") }), h("th", {}), h("th", { text: t("dress.ease") })), told.girths.map(each => h("tr", {}, h("th", { scope: "row", text: trade_of(each.key) }), h("td", { class: "n", text: each.finished }), h("td", { class: "n", text: each.ease })))),
    h("p", { class: told.seams.apart.length ? "stop" : "good", text: told.seams.apart.length ? t("dress.apart", { seams: told.seams.apart.join(", ") }) : t("dress.meet", { n: told.seams.count }) }),
    h("details", {}, h("summary", { text: t("dress.seams") }), told.seams.report.map(text => say({ class: "dim" }, text))),
    told.walking ? walking(told.walking) : "", ...(told.sides.length ? [h("details", { id: "sides" }, h("summary", { text: t("fit.sides") }), trim_cards(told.sides))] : []), ...told.warnings.map(text => say({ class: "dim" }, text)), pieces);
  result.dataset.seen = String(Number(result.dataset.seen ?? 0) + 1);
}

