// Clients: list, card, measures as the tape reads with 1/8 up and down, doubts as she types, earlier values.
import { desk } from "./page.js";
import { style_picture } from "./picture.js";
import { figure } from "./figure.js";
import { begin_order } from "./order.js";
import { firm, foreign, get, h, has, later, once, passing, post, say, t, tell, trying } from "./tools.js";

const FIRST = { shoulder: ["bust", "underbust", "waist", "hip", "half_length", "back_half_length", "shoulder_bust", "bust_span", "shoulder_hip", "shoulder_knee", "full_length", "shoulder_width", "across_back", "upper_arm", "wrist", "arm_length", "round_sleeve", "neck"],
  waist: ["bust", "underbust", "waist", "hip", "nape_waist", "front_waist", "stature", "neck_bust", "bust_span", "waist_hip", "waist_knee", "full_length", "shoulder_width", "across_back", "upper_arm", "wrist", "arm_length", "neck"] };
const today = () => new Date().toISOString().slice(0, 10);
export const trade = kind => (has(`measure.${kind.key}`) ? t(`measure.${kind.key}`) : kind.trade);
const how = kind => (has(`how.${kind.key}`) ? t(`how.${kind.key}`) : kind.how);

const EIGHTHS = "⅛¼⅜½⅝¾⅞";

// What was typed, an eighth more or less; what is no length a tape could read stays as it is.
export function stepped(text, unit, way) {
  text = text.replace(/[⅛¼⅜½⅝¾⅞]/g, sign => ` ${EIGHTHS.indexOf(sign) + 1}/8`);
  const typed = /^\s*(\d+(?:[.,]\d+)?)?\s*(?:(\d+)\/(\d+))?\s*([a-z"″]*)\s*$/i.exec(text);
  const own = typed?.[4] || unit;
  if (!typed || (!typed[1] && !typed[2])) return text;
  const value = Number((typed[1] ?? "0").replace(",", ".")) + (typed[2] ? Number(typed[2]) / Number(typed[3]) : 0);
  if (!(value < 10000)) return text;
  const tail = typed[4] ? ` ${typed[4]}` : "";
  if (own.startsWith("in") || own === '"') {
    const eighths = Math.max(0, Math.round(value * 8) + way), whole = Math.floor(eighths / 8);
    let part = eighths % 8, under = 8;
    while (part && part % 2 === 0) { part /= 2; under /= 2; }
    return (part ? `${whole || ""}${whole ? " " : ""}${part}/${under}` : `${whole}`) + tail;
  }
  const least = own === "mm" ? 1 : 0.5;
  return `${Math.max(0, Math.round((value + way * least) / least) * least)}${tail}`;
}

// A length as her tape reads it: inches to the eighth, centimetres to the millimetre.
export const as_taped = (mm, unit) => (unit === "in" ? `${stepped((mm / 25.4).toFixed(4), "in", 0)} in` : `${(mm / 10).toFixed(1)} cm`);

export async function client_names() {
  const book = await get("/book");
  return [...book.own.clients.map(name => ({ name, is_sample: false })), ...book.samples.clients.map(name => ({ name, is_sample: true }))];
}

export function clientScreen() {
  const name = decodeURIComponent(location.hash.split("/")[1] ?? "");
  return name ? card(name) : list();
}

function list() {
  const rows = h("ul", { class: "list" });
  const search = h("input", { type: "search", id: "search", placeholder: t("client.search"), "aria-label": t("client.search"), oninput: () => show() });
  let names = [];
  const show = () => rows.replaceChildren(...names.filter(each => each.name.toLowerCase().includes(search.value.toLowerCase())).map(each => h("li", {}, h("button", { type: "button", text: each.name + (each.is_sample ? ` (${t("sample")})` : ""), onclick: () => { location.hash = `client/${encodeURIComponent(each.name)}`; } }))));
  trying(async () => { names = await client_names(); show(); });
  return { element: h("div", {}, h("h1", { text: t("nav.client") }), h("div", { class: "row" }, search, h("button", { type: "button", class: "main", id: "new-client", text: t("client.new"), onclick: () => { location.hash = "client/+"; } })), rows) };
}

function card(name) {
  const is_new = name === "+";
  const element = h("div", {}, h("h1", { text: is_new ? t("client.new") : name }));
  const start = { name: "", unit: desk.now?.unit ?? "in", lengths_from: "shoulder", measures: {} };
  trying(async () => {
    const read = is_new ? { data: start, seen: "", is_sample: false } : await get(`/book/clients/${encodeURIComponent(name)}`);
    const draft = passing.get(`client ${name}`);  // typed, not kept: back again after another screen or the phone's sleep
    element.append(...form(draft ? { ...read.data, ...draft } : read.data, read.seen, read.is_sample, is_new, name, read.data));
    if (draft) tell(t("client.draft"));
  });
  return { element };
}

function form(data, seen, is_sample, is_new, file, kept_data) {
  const fields = new Map(), rows = h("div", { class: "measures" });
  const called = h("input", { type: "text", id: "client-name", value: data.name ?? file, maxlength: "80", autocomplete: "off" });
  const unit = h("select", { id: "unit" }, desk.facts.units.map(each => h("option", { value: each, text: t(`unit.${each}`) })));
  unit.value = data.unit ?? "cm";
  const from = h("select", { id: "from" }, ["shoulder", "waist"].map(each => h("option", { value: each, text: t(`from.${each}`) })));
  from.value = data.lengths_from ?? "shoulder";
  const verdict = h("div", { role: "status", id: "verdict" });
  let is_touched = false;
  const made = () => {
    const measures = {};
    for (const [key, field] of fields) if (field.input.value.trim()) measures[key] = field.input.value.trim();
    for (const [key, value] of Object.entries(data.measures)) if (Array.isArray(value) && fields.get(key)?.input.value === String(value[0])) measures[key] = value;
    const changed = JSON.stringify(measures) !== JSON.stringify(kept_data.measures);
    return { ...data, name: called.value.trim(), unit: unit.value, lengths_from: from.value, measures, day: changed || is_new ? today() : data.day, sample: undefined };
  };
  const judge = later(async () => {
    const { name, unit: tape, lengths_from, measures } = made();
    if (is_touched) passing.set(`client ${file}`, { name, unit: tape, lengths_from, measures });
    try {
      const told = await post("/check", { client: { ...made(), name: called.value.trim() || "–" } });
      for (const [key, field] of fields) {
        const measure = told.measures[key], stop = told.stop.find(each => each.key === key);
        const is_worked_out = measure && measure.from === "stand_in" && !field.input.value.trim();
        field.input.placeholder = is_worked_out ? measure.shown : "";
        field.note.textContent = stop ? stop.text : (field.input.value.trim() && measure?.doubt) || (is_worked_out ? t("worked_out") : "");
        field.note.className = stop ? "stop" : "dim";
        field.note.lang = foreign(stop || measure?.doubt ? field.note.textContent : "") ?? "";
        field.input.setAttribute("aria-invalid", Boolean(stop));
      }
      verdict.replaceChildren(...told.stop.filter(each => !fields.has(each.key) || !fields.get(each.key).input.value).map(each => say({ class: "stop" }, each.text)), told.stop.length ? "" : h("p", { class: "good", text: told.doubt.length ? t("client.drafts", { n: told.doubt.length }) : t("client.drafts_well") }));
    } catch (error) { verdict.replaceChildren(h("p", { class: "stop", text: error.message })); }
  }, 150);
  function show_rows() {
    const typed = Object.fromEntries([...fields].map(([key, field]) => [key, field.input.value]));
    const keys = [...new Set([...FIRST[from.value], ...Object.keys(data.measures), ...Object.keys(typed).filter(key => typed[key])])];
    fields.clear();
    rows.replaceChildren(...keys.map(key => measure_row(desk.facts.measures.find(each => each.key === key), typed[key] ?? first(data.measures[key]), unit, fields, judge)));
    judge();
  }
  from.addEventListener("change", show_rows);
  unit.addEventListener("change", judge);
  called.addEventListener("input", judge);
  for (const each of [rows, called, unit, from]) for (const kind of ["input", "change", "click"]) each.addEventListener(kind, () => { is_touched = true; });
  const save = h("button", { type: "button", class: "main", id: "save-client", text: is_sample ? t("client.keep_copy") : t("save") });
  save.addEventListener("click", once(() => trying(async () => {
    const kept = await post("/book/clients", { data: made(), seen });
    passing.drop(`client ${file}`);
    tell(t("kept", { name: kept.name }));
    location.hash = `client/${encodeURIComponent(kept.name)}`;
    seen = kept.seen;
  })));
  const forget = h("button", { type: "button", text: t("client.forget") });
  firm(forget, () => trying(async () => { const told = await post(`/book/clients/${encodeURIComponent(file)}/forget`, {}); location.hash = "client"; const left = told.left.length ? ` ${t("client.still_named", { where: told.left.join(", ") })}` : ""; setTimeout(() => tell(t("client.forgotten", { n: told.removed.length }) + left), 50); }));
  show_rows();
  return [
    h("label", { for: "client-name", text: t("client.name") }), h("div", { class: "row" }, called),
    h("div", { class: "field" }, h("label", { for: "unit", text: t("client.unit") }), unit), h("div", { class: "field" }, h("label", { for: "from", text: t("client.from") }), from),
    rows, verdict, h("div", { class: "row" }, save, is_new ? null : h("button", { type: "button", id: "new-dress", text: t("client.new_dress"), onclick: () => { begin_order(data.name ?? file); location.hash = "dress"; } }), is_new || is_sample ? null : forget),
    is_new ? null : style_picture("clients", () => data.name ?? file), ...earlier(data.history ?? []), ...fittings(data.fittings ?? [])];
}
const first = value => (Array.isArray(value) ? String(value[0]) : value === undefined ? "" : String(value));

function measure_row(kind, value, unit, fields, judge) {
  const id = `m-${kind.key}`, note = h("p", { class: "dim", id: `${id}-note` });
  const input = h("input", { type: "text", id, value, autocomplete: "off", "aria-describedby": `${id}-how ${id}-note`, oninput: judge });
  const step = (way, sign) => h("button", { type: "button", "aria-label": t(way > 0 ? "eighth_up" : "eighth_down", { what: trade(kind) }), text: sign, onclick: () => { input.value = stepped(input.value || input.placeholder, unit.value, way); judge(); } });
  fields.set(kind.key, { input, note });
  return h("div", { class: "measure" }, figure(kind.key), h("label", { for: id, text: trade(kind) }), h("div", { class: "value" }, step(-1, "−"), input, step(1, "+")), h("div", {}, h("p", { class: "dim", id: `${id}-how`, text: how(kind) }), note));
}

function earlier(history) {
  if (!history.length) return [];
  return [h("h2", { text: t("client.earlier") }), ...history.map(taking => h("details", {}, h("summary", { text: `${taking.day} ${taking.who ?? ""}` }), h("table", {}, Object.entries(taking.measures).map(([key, value]) => h("tr", {}, h("th", { scope: "row", text: trade(desk.facts.measures.find(each => each.key === key) ?? { key, trade: key }) }), h("td", { class: "n", text: [value].flat().join(" / ") }))))))];
}
function fittings(list) {
  if (!list.length) return [];
  return [h("h2", { text: t("nav.fitting") }), ...list.map(each => h("p", { text: `${each.day} · ${t(`kind.${each.kind}`)} · ${["changes", "left", "right"].flatMap(side => Object.entries(each[side] ?? {}).map(([line, by]) => `${t(`line.${line}`)} ${by}${side === "changes" ? "" : ` (${t(`side.${side}`)})`}`)).join(", ")} ${each.note ?? ""}` }))];
}
