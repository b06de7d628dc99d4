// A tape check's numbers: as she would chalk them, each that has a line behind it can be changed, and the line moves at once.
import { stepped } from "./client.js";
import { desk } from "./page.js";
import { h, has, later, post, t, tell, trying } from "./tools.js";

export function tapeRows(tapes) {
  return h("div", { class: "card tapes", role: "group", "aria-label": t("tape.title") }, tapes.map(row), h("p", { class: "dim", text: t("tape.how") }));
}

function row(tape, place) {
  const where = tape.where ? (has(`level.${tape.where}`) ? t(`level.${tape.where}`) : tape.where) : t("tape.length");
  const rest = tape.beyond ? `+ ${tape.beyond} = ${tape.whole}` : "";
  if (!tape.is_changeable) return h("div", { class: "tape" }, h("b", { text: where }), h("span", { class: "n", text: `${tape.sewn} ${rest}` }));
  const input = h("input", { type: "text", id: `tape-${place}`, value: tape.sewn, autocomplete: "off", "aria-label": `${where}, ${t("tape.sewn")}` });
  const send = () => trying(async () => {
    input.setAttribute("aria-busy", "true");
    tell(t("one_moment"));
    try { await post("/tape", { place, reads: input.value }); } finally { input.removeAttribute("aria-busy"); }
  });
  const soon = later(send, 450);
  const step = (way, sign) => h("button", { type: "button", "aria-label": t(way > 0 ? "eighth_up" : "eighth_down", { what: where }), text: sign, onclick: () => { input.value = stepped(input.value, desk.now.unit, way); soon(); } });
  input.addEventListener("change", soon);
  return h("div", { class: "tape" }, h("label", { for: `tape-${place}` }, h("b", { text: where })), h("div", { class: "value" }, step(-1, "−"), input, step(1, "+")), h("span", { class: "n dim", text: rest }));
}
