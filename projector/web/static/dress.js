// The dress, its cloth and lay, and the fitting. One order in hand, kept while the screens change.
import { client_names, trade } from "./client.js";
import { desk } from "./page.js";
import { choice } from "./figure.js";
import { get, h, has, later, parsedSvg, post, svg, t, tell, trying } from "./tools.js";

const hand = { order: null, seen: null };  // the order as typed
const NEW_CLOTH = { width: "45 in", lengths: ["6 yd"], up: "none" };
const word_of = (key, value) => (has(`choice.${key}.${value}`) ? t(`choice.${key}.${value}`) : has(`choice.${value}`) ? t(`choice.${value}`) : String(value).replaceAll("_", " "));

function choices(key, values, chosen, pick) {
  const field = h("fieldset", { class: "choices" }, h("legend", { text: has(`style.${key}`) ? t(`style.${key}`) : desk.facts.help[key] }));
  for (const value of values) {
    const input = h("input", { type: "radio", name: key, value: String(value), "data-choice": `${key} ${value}`, onchange: () => pick(value) });
    input.checked = String(value) === String(chosen);
    field.append(h("label", { class: "choice" }, input, h("span", {}, choice(key, value), h("b", { text: word_of(key, value) }))));
  }
  return field;
}

async function pick_order() {
  const book = await get("/book");
  return [...book.own.orders.map(name => ({ name, is_sample: false })), ...book.samples.orders.map(name => ({ name, is_sample: true }))];
}
async function open_hand(name) {
  const read = await get(`/book/orders/${encodeURIComponent(name)}`);
  const style = typeof read.data.style === "string" ? (await get(`/book/styles/${encodeURIComponent(read.data.style)}`)).data : read.data.style ?? {};
  hand.order = { ...read.data, style: { ...style }, name: read.data.name ?? name, sample: undefined };
  hand.seen = read.seen;
}

function order_bar(after) {
  const orders = h("select", { id: "orders", "aria-label": t("dress.order") });
  trying(async () => {
    const names = await pick_order();
    orders.replaceChildren(h("option", { value: "", text: t("dress.choose") }), ...names.map(each => h("option", { value: each.name, text: each.name + (each.is_sample ? ` (${t("sample")})` : "") })), h("option", { value: "+", text: t("dress.new") }));
    orders.value = hand.order && names.some(each => each.name === hand.order.name) ? hand.order.name : hand.order ? "+" : "";
  });
  orders.addEventListener("change", () => trying(async () => {
    if (orders.value === "+") { hand.order = { name: "", client: "", style: {}, cloth: { main: { ...NEW_CLOTH } } }; hand.seen = ""; }
    else if (orders.value) await open_hand(orders.value);
    after();
  }));
  return h("div", { class: "row" }, orders);
}

async function save_hand() {
  const kept = await post("/book/orders", { data: hand.order, seen: hand.seen });
  hand.seen = kept.seen;
  hand.order.name = kept.name;
  tell(t("kept", { name: kept.name }));
}

export function dressScreen() {
  const body = h("div", {}), result = h("div", { id: "look", "aria-live": "polite" });
  let asked = 0;
  const look = later(async () => {
    if (!hand.order?.client) return;
    const mine = ++asked;
    try { const told = await post("/look", { order: hand.order }); if (mine === asked) show_look(result, told); }
    catch (error) { if (mine === asked) result.replaceChildren(h("p", { class: "stop", text: error.message })); }
  }, 60);
  const set = (key, value) => { hand.order.style = { ...hand.order.style, [key]: value }; look(); };
  function show() {
    if (!hand.order) { body.replaceChildren(h("p", { class: "dim", text: t("dress.none") })); return; }
    const style = { ...desk.facts.default, ...hand.order.style };
    const client = h("select", { id: "client", onchange: () => { hand.order.client = client.value; look(); } });
    trying(async () => { const names = await client_names(); client.replaceChildren(h("option", { value: "", text: t("dress.whose") }), ...names.map(each => h("option", { value: each.name, text: each.name }))); client.value = typeof hand.order.client === "string" ? hand.order.client : ""; });
    const name = h("input", { type: "text", id: "order-name", value: hand.order.name, maxlength: "80", oninput: () => { hand.order.name = name.value; } });
    const numbers = Object.entries(desk.facts.ranges).map(([key, [low, high]]) => {
      const shown = h("output", { text: `${Math.round(style[key])} mm` });
      return h("div", { class: "row" }, h("label", { class: "grow", for: `s-${key}`, text: has(`style.${key}`) ? t(`style.${key}`) : desk.facts.help[key] }), shown, h("input", { type: "range", id: `s-${key}`, min: low, max: high, step: "5", value: style[key], oninput: event => { shown.textContent = `${event.target.value} mm`; set(key, Number(event.target.value)); } }));
    });
    body.replaceChildren(
      h("label", { for: "order-name", text: t("dress.name") }), h("div", { class: "row" }, name), h("label", { for: "client", text: t("dress.whose") }), h("div", { class: "row" }, client),
      result, ...Object.entries(desk.facts.choices).map(([key, values]) => choices(key, values, style[key], value => set(key, value))),
      h("details", {}, h("summary", { text: t("dress.amounts") }), ...numbers),
      h("p", {}, h("button", { type: "button", class: "main", id: "save-order", text: t("save"), onclick: () => trying(save_hand) })));
    look();
  }
  show();
  return { element: h("div", {}, h("h1", { text: t("nav.dress") }), order_bar(show), body) };
}

function show_look(result, told) {
  const views = Object.entries(told.sketch).map(([side, view]) => svg(view.box.join(" "), [["ink", view.d]], t(`view.${side}`)));
  const trade_of = key => trade(desk.facts.measures.find(each => each.key === key) ?? { key, trade: key });
  const pieces = h("details", {}, h("summary", { text: t("dress.pieces", { n: told.cut.reduce((sum, piece) => sum + piece.count, 0) }) }), h("div", { class: "drawing", tabindex: "0", role: "region", "aria-label": t("dress.drawing") }, parsedSvg(told.pieces, t("dress.drawing"))));
  result.replaceChildren(
    h("div", { class: "sketch card" }, views),
    h("table", {}, h("tr", {}, h("th", { text: t("dress.finished") }), h("th", {}), h("th", { text: t("dress.ease") })), told.girths.map(each => h("tr", {}, h("th", { scope: "row", text: trade_of(each.key) }), h("td", { class: "n", text: each.finished }), h("td", { class: "n", text: each.ease })))),
    h("p", { class: told.seams.apart.length ? "stop" : "good", text: told.seams.apart.length ? t("dress.apart", { seams: told.seams.apart.join(", ") }) : t("dress.meet", { n: told.seams.count }) }),
    told.vent ? h("p", { text: t("dress.vent", { height: told.vent }) }) : "", ...told.warnings.map(text => h("p", { class: "dim", text })), pieces);
  result.dataset.seen = String(Number(result.dataset.seen ?? 0) + 1);
}

export function clothScreen() {
  const body = h("div", {}), result = h("div", { id: "lay", "aria-live": "polite" });
  function cloth_card(name) {
    const named = hand.order.cloth[name];
    const field = (key, value, put) => { const id = `c-${name}-${key}`; return h("div", { class: "row" }, h("label", { class: "grow", for: id, text: t(`cloth.${key}`) }), h("input", { type: "text", id, value, onchange: event => put(event.target.value) })); };
    const up = h("select", { id: `c-${name}-up`, onchange: event => { named.up = event.target.value; } }, ["along", "across", "either", "none"].map(each => h("option", { value: each, text: t(`up.${each}`) })));
    up.value = named.up ?? "none";
    return h("div", { class: "card" }, h("h2", { text: has(`of.${name}`) ? t(`of.${name}`) : name }), field("width", [named.width].flat().join(", "), value => { named.width = value; }), field("lengths", (named.lengths ?? []).join(", "), value => { named.lengths = value.split(",").map(each => each.trim()).filter(Boolean); }), field("ply_mm", named.ply_mm ?? "0.4", value => { named.ply_mm = Number(value); }), h("div", { class: "row" }, h("label", { class: "grow", for: `c-${name}-up`, text: t("cloth.up") }), up));
  }
  function show() {
    if (!hand.order) { body.replaceChildren(h("p", { class: "dim", text: t("dress.none") })); return; }
    hand.order.cloth ??= { main: { ...NEW_CLOTH } };
    const fold = h("select", { id: "fold" }, h("option", { value: "", text: t("cloth.best") }), desk.facts.plans.map(plan => h("option", { value: plan, text: t(`plan.${plan}`) })));
    const more = ["lining", "interfacing"].filter(name => !(name in hand.order.cloth)).map(name => h("button", { type: "button", text: `+ ${t(`of.${name}`)}`, onclick: () => { hand.order.cloth[name] = { ...NEW_CLOTH, width: "55 in" }; show(); } }));
    const lay = h("button", { type: "button", class: "main", id: "lay-it", text: t("cloth.lay"), onclick: () => trying(async () => { lay.disabled = true; result.replaceChildren(h("p", { class: "dim", text: t("cloth.laying") })); try { show_lay(result, await post("/lay", { order: hand.order, fold: fold.value })); } catch (error) { result.replaceChildren(h("p", { class: "stop", text: error.message })); } finally { lay.disabled = false; } }) });
    const open = h("button", { type: "button", id: "to-table", text: t("cloth.to_table"), onclick: () => trying(async () => { await save_hand(); tell(t("one_moment")); await post("/open", { name: hand.order.name }); location.hash = "cut"; }) });
    body.replaceChildren(...Object.keys(hand.order.cloth).map(cloth_card), h("div", { class: "row" }, more), h("div", { class: "row" }, h("label", { for: "fold", text: t("cloth.fold") }), fold), h("div", { class: "row" }, lay, open), result);
  }
  show();
  return { element: h("div", {}, h("h1", { text: t("nav.cloth") }), order_bar(show), body) };
}

function show_lay(result, told) {
  result.replaceChildren(...told.cloths.map(each => h("div", { class: "card" }, h("b", { text: `${has(`of.${each.name}`) ? t(`of.${each.name}`) : each.name}: ${each.needed}` }), h("p", { text: t(`plan.${each.plan}`) }), ...each.why.map(text => h("p", { class: "dim", text })))), h("div", { class: "drawing", tabindex: "0", role: "region", "aria-label": t("cloth.drawing") }, parsedSvg(told.drawing, t("cloth.drawing"))));
}

export function fittingScreen() {
  const client = h("select", { id: "fit-client" }), order = h("select", { id: "fit-order" }), rows = h("div", {}), note = h("input", { type: "text", id: "fit-note", maxlength: "300" });
  trying(async () => {
    const [names, orders] = await Promise.all([client_names(), pick_order()]);
    client.replaceChildren(...names.map(each => h("option", { value: each.name, text: each.name })));
    order.replaceChildren(...orders.map(each => h("option", { value: each.name, text: each.name })));
    const own = typeof hand.order?.client === "string" ? hand.order.client : "";
    if (own) client.value = own;
    const worn = hand.order?.name || desk.now?.order;
    if (orders.some(each => each.name === worn)) order.value = worn;
  });
  let kind = "dress";
  const add = () => {
    const line = h("select", { "aria-label": t("fit.where") }, desk.facts.lines.map(each => h("option", { value: each.key, text: has(`line.${each.key}`) ? t(`line.${each.key}`) : each.words })));
    const side = h("select", { "aria-label": t("fit.side") }, ["changes", "left", "right"].map(each => h("option", { value: each, text: t(each === "changes" ? "fit.both" : `side.${each}`) })));
    const way = h("select", { "aria-label": t("fit.way") });
    const ways = () => { const chosen = desk.facts.lines.find(each => each.key === line.value); way.replaceChildren(...[["+", "more"], ["-", "less"]].map(([sign, name]) => h("option", { value: sign, text: has(`way.${chosen[name]}`) ? t(`way.${chosen[name]}`) : chosen[name] }))); };
    line.addEventListener("change", ways);
    ways();
    const by = h("input", { type: "text", "aria-label": t("fit.by"), placeholder: "1/2 in, 1.2 cm", class: "by" });
    rows.append(h("div", { class: "card row pinned" }, line, side, way, by));
  };
  add();
  const save = () => trying(async () => {
    const fitting = { day: new Date().toISOString().slice(0, 10), kind, order: order.value, note: note.value, changes: {}, left: {}, right: {} };
    for (const row of rows.querySelectorAll(".pinned")) {
      const [line, side, way] = [...row.querySelectorAll("select")].map(each => each.value), by = row.querySelector(".by").value.trim();
      if (by) fitting[side][line] = way + by;
    }
    const told = await post(`/fitting/${encodeURIComponent(client.value)}`, { fitting });
    tell(t("fit.kept", { name: told.name, n: told.fittings }));
  });
  return { element: h("div", {}, h("h1", { text: t("nav.fitting") }),
    h("label", { for: "fit-client", text: t("dress.whose") }), h("div", { class: "row" }, client), h("label", { for: "fit-order", text: t("dress.order") }), h("div", { class: "row" }, order),
    h("h2", { text: t("fit.pinned") }), rows, h("p", {}, h("button", { type: "button", text: t("fit.more"), onclick: add })),
    choices("kind", desk.facts.kinds, kind, value => { kind = value; }), h("label", { for: "fit-note", text: t("fit.note") }), h("div", { class: "row" }, note),
    h("p", {}, h("button", { type: "button", class: "main", id: "save-fitting", text: t("save"), onclick: save })), h("p", { class: "dim", text: t("fit.next") })) };
}
