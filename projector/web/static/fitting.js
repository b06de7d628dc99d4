// After the fitting: what was pinned, where, how much; what the next dress starts from.
import { client_names } from "./client.js";
import { choices, hand, pick_order } from "./order.js";
import { desk } from "./page.js";
import { h, has, post, t, tell, trying } from "./tools.js";

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
