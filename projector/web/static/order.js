// The order in hand, kept while the screens change; choices with small drawings.
import { desk } from "./page.js";
import { choice } from "./figure.js";
import { get, h, has, passing, post, t, tell, trying } from "./tools.js";

export const hand = passing.get("order") ?? { order: null, seen: null };  // the order as typed, also after the phone slept
export const keep_hand = () => passing.set("order", hand);
export const NEW_CLOTH = { width: "45 in", lengths: ["6 yd"], up: "none" };
const word_of = (key, value) => (has(`choice.${key}.${value}`) ? t(`choice.${key}.${value}`) : has(`choice.${value}`) ? t(`choice.${value}`) : String(value).replaceAll("_", " "));

export function choices(key, values, chosen, pick) {
  const field = h("fieldset", { class: "choices" }, h("legend", { text: has(`style.${key}`) ? t(`style.${key}`) : desk.facts.help[key] }));
  for (const value of values) {
    const input = h("input", { type: "radio", name: key, value: String(value), "data-choice": `${key} ${value}`, onchange: () => pick(value) });
    input.checked = String(value) === String(chosen);
    field.append(h("label", { class: "choice" }, input, h("span", {}, choice(key, value), h("b", { text: word_of(key, value) }))));
  }
  return field;
}

export async function pick_order() {
  const book = await get("/book");
  return [...book.own.orders.map(name => ({ name, is_sample: false })), ...book.samples.orders.map(name => ({ name, is_sample: true }))];
}
async function open_hand(name) {
  const read = await get(`/book/orders/${encodeURIComponent(name)}`);
  const style = typeof read.data.style === "string" ? (await get(`/book/styles/${encodeURIComponent(read.data.style)}`)).data : read.data.style ?? {};
  hand.order = { ...read.data, style: { ...style }, name: read.data.name ?? name, sample: undefined };
  hand.seen = read.seen;
  keep_hand();
}
export function begin_order(client = "") {
  hand.order = { name: "", client, style: {}, cloth: { main: { ...NEW_CLOTH } } };
  hand.seen = "";
  keep_hand();
}

export function order_bar(after) {
  const orders = h("select", { id: "orders", "aria-label": t("dress.order") });
  trying(async () => {
    const names = await pick_order();
    if (!hand.order && names.some(each => each.name === desk.now?.order)) { await open_hand(desk.now.order); after(); }
    orders.replaceChildren(h("option", { value: "", text: t("dress.choose") }), ...names.map(each => h("option", { value: each.name, text: each.name + (each.is_sample ? ` (${t("sample")})` : "") })), h("option", { value: "+", text: t("dress.new") }));
    orders.value = hand.order && names.some(each => each.name === hand.order.name) ? hand.order.name : hand.order ? "+" : "";
  });
  orders.addEventListener("change", () => trying(async () => {
    if (orders.value === "+") begin_order();
    else if (orders.value) await open_hand(orders.value);
    after();
  }));
  return h("div", { class: "row" }, orders);
}

export async function save_hand() {
  const kept = await post("/book/orders", { data: hand.order, seen: hand.seen });
  hand.seen = kept.seen;
  hand.order.name = kept.name;
  keep_hand();
  tell(t("kept", { name: kept.name }));
}

