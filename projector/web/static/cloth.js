// The cloth and how the pieces lie on it: width, fold, print placed, pieces moved by hand, put on the table.
import { handPad } from "./hand.js";
import { hand, keep_hand, NEW_CLOTH, order_bar, save_hand } from "./order.js";
import { desk } from "./page.js";
import { h, has, once, post, say, t, tell, trying } from "./tools.js";

const of = name => (has(`of.${name}`) ? t(`of.${name}`) : name);

function row(id, label, control, kind = "field") {
  return h("div", { class: kind }, h("label", { for: id, text: label }), control);
}

function cloth_card(name) {
  const named = hand.order.cloth[name];
  const put = (key, value) => { named[key] = value; keep_hand(); };
  const field = (key, value, read, hint) => row(`c-${name}-${key}`, t(`cloth.${key}`), h("input", { type: "text", id: `c-${name}-${key}`, value, placeholder: hint, autocomplete: "off", onchange: event => put(key, read(event.target.value)) }));
  const up = h("select", { id: `c-${name}-up`, onchange: event => put("up", event.target.value) }, ["along", "across", "either", "none"].map(each => h("option", { value: each, text: t(`up.${each}`) })));
  up.value = named.up ?? "none";
  return h("div", { class: "card" }, h("h2", { text: of(name) }),
    field("width", [named.width].flat().join(", "), value => { const all = value.split(",").map(each => each.trim()).filter(Boolean); return all.length > 1 ? all : all[0] ?? ""; }),
    field("lengths", (named.lengths ?? []).join(", "), value => value.split(",").map(each => each.trim()).filter(Boolean), "2 yd, 1.5 m"),
    row(`c-${name}-up`, t("cloth.up"), up),
    field("repeat", [named.repeat ?? ""].flat()[0] ?? "", value => value.trim() || undefined, "12 in"),
    field("ply_mm", named.ply_mm ?? "0.4", value => Number(value.replace(",", "."))));
}

const has_lining = () => hand.order.style?.lining !== false;

const LEVELS = ["bust", "waist", "hip", "knee"];
function print_card(motif) {
  const put = (key, value) => {
    motif[key] = value;
    const at = [motif.end, motif.edge].map(each => each.trim());
    motif.at = at.every(Boolean) ? at : undefined;
    hand.order.motif = motif.piece ? { piece: motif.piece, level: motif.level, ...(motif.lower.trim() ? { lower: motif.lower.trim() } : {}), ...(motif.at ? { at: motif.at } : {}) } : undefined;
    keep_hand();
  };
  const piece = h("select", { id: "motif-piece", onchange: () => put("piece", piece.value) }, h("option", { value: "", text: t("print.none") }));
  const level = h("select", { id: "motif-level", onchange: () => put("level", level.value) }, LEVELS.map(each => h("option", { value: each, text: t(`level.${each}`) })));
  const lower = h("input", { type: "text", id: "motif-lower", value: motif.lower, placeholder: "0", autocomplete: "off", oninput: () => put("lower", lower.value) });
  const place = key => h("input", { type: "text", id: `motif-${key}`, value: motif[key], placeholder: "14 in", autocomplete: "off", oninput: event => put(key, event.target.value) });
  level.value = motif.level;
  trying(async () => {
    const told = await post("/look", { order: hand.order });
    piece.append(...told.cut.filter(each => each.of === "main").map(each => h("option", { value: each.name, text: each.name })));
    piece.value = motif.piece;
  });
  return h("details", { id: "place-print" }, h("summary", { text: t("print.place") }), h("p", { class: "dim", text: t("print.how") }), row("motif-piece", t("print.piece"), piece), row("motif-level", t("print.level"), level), row("motif-lower", t("print.lower"), lower), h("p", { class: "dim", text: t("print.at") }), row("motif-end", t("print.end"), place("end")), row("motif-edge", t("print.edge"), place("edge")));
}

export function clothScreen() {
  const body = h("div", {}), result = h("div", { id: "lay", "aria-live": "polite" });
  const motif = { piece: "", level: "bust", lower: "", end: "", edge: "", at: undefined };
  async function lay_it(button, fold) {
    button.disabled = true;
    result.replaceChildren(h("p", { class: "dim", text: t("cloth.laying") }));
    try { show_lay(result, await post("/lay", { order: hand.order, fold: fold.value, motif: motif.piece ? motif : undefined })); }
    catch (error) { result.replaceChildren(h("p", { class: "stop", text: error.message })); }
    finally { button.disabled = false; }
  }
  async function put_on_table() {
    await save_hand();
    tell(t("one_moment"));
    await post("/open", { name: hand.order.name, order: hand.order });
    location.hash = "cut";
  }
  function show() {
    if (!hand.order) { body.replaceChildren(h("p", { class: "dim", text: t("dress.none") })); return; }
    const [end, edge] = hand.order.motif?.at ?? ["", ""];
    Object.assign(motif, { piece: "", level: "bust", lower: "", at: undefined }, hand.order.motif, { end, edge });
    hand.order.cloth ??= { main: { ...NEW_CLOTH } };
    const fold = h("select", { id: "fold" }, h("option", { value: "", text: t("cloth.best") }), desk.facts.plans.map(plan => h("option", { value: plan, text: t(`plan.${plan}`) })));
    const first = h("select", { id: "first-cloth", onchange: event => { hand.order.first = event.target.value || undefined; keep_hand(); } },
      h("option", { value: "", text: t("cloth.first_none") }), has_lining() ? h("option", { value: "lining", text: of("lining") }) : "");
    first.value = hand.order.first ?? "";
    const binding = h("input", { type: "text", id: "binding", value: hand.order.binding ?? "", placeholder: "3 m, 35 mm", autocomplete: "off", onchange: () => { hand.order.binding = binding.value.trim() || undefined; keep_hand(); } });
    const more = ["lining", "interfacing"].filter(name => !(name in hand.order.cloth)).map(name => h("button", { type: "button", text: `+ ${of(name)}`, onclick: () => { hand.order.cloth[name] = { ...NEW_CLOTH, width: "55 in" }; keep_hand(); show(); } }));
    const lay = h("button", { type: "button", class: "main", id: "lay-it", text: t("cloth.lay"), onclick: once(() => trying(() => lay_it(lay, fold))) });
    const open = h("button", { type: "button", id: "to-table", text: t("cloth.to_table"), onclick: once(() => trying(put_on_table)) });
    body.replaceChildren(...Object.keys(hand.order.cloth).map(cloth_card), more.length ? h("div", { class: "row" }, more) : "",
      h("div", { class: "card" }, row("fold", t("cloth.fold"), fold, "field tall"), row("first-cloth", t("cloth.first"), first, "field tall"), row("binding", t("binding.how"), binding), print_card(motif)),
      h("div", { class: "row" }, lay, open), result);
    if (result.dataset.order !== hand.order.name) result.replaceChildren();
  }
  show();
  return { element: h("div", {}, h("h1", { text: t("nav.cloth") }), order_bar(show), body) };
}

function show_lay(result, told) {
  const words = h("div", {});
  const judge = now => words.replaceChildren(
    ...now.wrong.map(text => say({ class: "stop" }, text)),
    now.wrong.length ? "" : h("p", { class: "good", text: t("cloth.may_be_cut") }),
    now.partners?.length ? h("p", { text: t("print.partners", { seams: [...new Set(now.partners.map(each => each.seam))].join(", ") }) }) : "",
    now.binding ? h("p", { id: "binding-told", text: t(now.binding.is_beyond ? "binding.beyond" : "binding.between", now.binding) }) : "",
    now.drawings.some(each => each.sides.length) ? h("p", { class: "dim", text: t("print.sides") }) : "");
  const needs = told.cloths.map(each => h("div", { class: "card" }, h("b", { text: `${of(each.name)}: ${each.needed}` }), h("p", { text: t(`plan.${each.plan}`) }), each.why.length ? h("details", {}, h("summary", { text: t("cloth.why") }), each.why.map(text => say({ class: "dim" }, text))) : ""));
  result.dataset.order = hand.order.name;
  judge(told);
  result.replaceChildren(...needs, words, handPad(told, judge));
}
