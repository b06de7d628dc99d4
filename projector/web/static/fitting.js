// After the fitting: what was pinned, where, how much; what the next dress starts from.
import { notes_list } from "./beside.js";
import { client_names } from "./client.js";
import { choices, hand, pick_order } from "./order.js";
import { desk } from "./page.js";
import { get, h, has, once, post, say, svg, t, tell, trying } from "./tools.js";

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
  const notes = h("div", {});
  trying(async () => { const told = (await get("/notes")).notes; if (told.length) notes.replaceChildren(h("h2", { text: t("fit.notes") }), ...notes_list(told)); }, true);
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
  const pinned = () => {
    const fitting = { day: new Date().toISOString().slice(0, 10), kind, order: order.value, note: note.value, changes: {}, left: {}, right: {} };
    for (const row of rows.querySelectorAll(".pinned")) {
      const [line, side, way] = [...row.querySelectorAll("select")].map(each => each.value), by = row.querySelector(".by").value.trim();
      if (by) fitting[side][line] = way + by;
    }
    return fitting;
  };
  const result = h("div", { id: "fit-result", "aria-live": "polite" });
  const look = () => trying(async () => { result.replaceChildren(h("p", { class: "dim", text: t("one_moment") })); try { show_fit(result, await post("/fit", { order: order.value, fitting: pinned() })); } catch (error) { result.replaceChildren(); throw error; } });
  const save = once(() => trying(async () => {
    const fitting = pinned();
    const told = await post(`/fitting/${encodeURIComponent(client.value)}`, { fitting });
    tell(t("fit.kept", { name: told.name, n: told.fittings }));
  }));
  return { element: h("div", {}, h("h1", { text: t("nav.fitting") }),
    h("label", { for: "fit-client", text: t("dress.whose") }), h("div", { class: "row" }, client), h("label", { for: "fit-order", text: t("dress.order") }), h("div", { class: "row" }, order),
    notes, h("h2", { text: t("fit.pinned") }), rows, h("p", {}, h("button", { type: "button", text: t("fit.more"), onclick: add })),
    choices("kind", desk.facts.kinds, kind, value => { kind = value; }), h("label", { for: "fit-note", text: t("fit.note") }), h("div", { class: "row" }, note),
    h("p", {}, h("button", { type: "button", id: "look-fitting", text: t("fit.look"), onclick: look })), result,
    h("p", {}, h("button", { type: "button", class: "main", id: "save-fitting", text: t("save"), onclick: save })), h("p", { class: "dim", text: t("fit.next") })) };
}

// Does the cloth that is left cover it; the new lines on the opened pieces.
function show_fit(result, told) {
  const short = told.covers.filter(each => !each.is_covered);
  result.replaceChildren(
    ...short.map(each => say({ class: "stop" }, each.says)),
    short.length ? "" : h("p", { class: "good", text: t("fit.covered", { n: told.covers.length }) }),
    ...told.seams.bad.map(text => say({ class: "stop" }, text)),
    told.seams.bad.length ? "" : h("p", { class: "good", text: t("dress.meet", { n: told.seams.count }) }),
    told.covers.length ? h("details", {}, h("summary", { text: t("fit.left") }), told.covers.map(each => say({ class: "dim" }, each.says))) : "",
    told.trims.length ? h("h2", { text: t("fit.trim") }) : "", ...trim_cards(told.trims));
}

// The new lines on the opened pieces, each side by itself where left and right differ.
export function trim_cards(trims) {
  const named = each => (each.side ? `${each.piece}, ${t(`side.${each.side}`)}` : each.piece);
  return [...new Set(trims.map(named))].map(name => {
    const own = trims.filter(each => named(each) === name);
    return h("div", { class: "card" }, h("b", { text: name }), h("p", { class: "dim", text: own.map(each => `${each.edge}: ${each.most}`).join(", ") }), h("div", { class: "step" }, svg(own[0].box.join(" "), [["later", own[0].was], ...own.map(each => ["cut now", each.now])], `${t("fit.trim")}: ${name}`)));
  });
}
