// Beside the cutting: a note for later, the chalk card kept on the phone, the shop's own voice.
import { desk } from "./page.js";
import { get, h, once, post, stored, t, tell, trying } from "./tools.js";
import { play, voiceCard } from "./voice.js";

export function notes_list(notes) {
  return notes.map(each => h("p", { class: "note" }, h("b", { text: `${each.step + 1} ${each.title}` }), h("span", { text: ` ${each.text}` })));
}

export function besides() {
  const now = h("div", {});
  const text = h("input", { type: "text", id: "note", maxlength: "400", autocomplete: "off" });
  const notes = h("div", {});
  let every = [];
  const show = () => {
    notes.replaceChildren(...notes_list(every.filter(each => each.step !== desk.now?.step)));
    now.replaceChildren(...notes_list(every.filter(each => each.step === desk.now?.step)));
  };
  const form = h("form", { class: "row" }, text, h("button", { id: "keep-note", text: t("save") }));
  const keep = once(() => trying(async () => { every = (await post("/notes", { text: text.value })).notes; text.value = ""; show(); tell(t("note.kept")); }));
  form.addEventListener("submit", event => { event.preventDefault(); keep(); });
  const speaks = h("input", { type: "checkbox", id: "speaks", onchange: () => stored.set("speaks", speaks.checked) });
  speaks.checked = stored.get("speaks") === true;
  const voices = h("details", {}, h("summary", { text: t("voice.title") }));
  voices.addEventListener("toggle", () => { if (voices.open && voices.children.length < 2) voices.append(voiceCard()); });
  let order = null, step = null, recorded = [];
  const element = h("div", {},
    h("div", { class: "card" }, h("label", { for: "note", text: t("note.title") }), form, notes),
    h("div", { class: "card" }, h("p", { text: t("card.how") }), h("a", { class: "button", id: "keep-card", href: "/card.html", download: "", text: t("card.keep") })),
    h("div", { class: "card" }, h("label", { class: "tick" }, speaks, h("span", { text: t("voice.speaks") })), voices));
  return {
    element, now,
    update(snapshot) {
      if (order !== snapshot.order) trying(async () => {
        order = snapshot.order;
        every = (await get("/notes")).notes;
        recorded = (await get("/voice")).recorded;
        show();
      }, true);
      show();
      if (step !== null && step !== snapshot.step && speaks.checked && recorded.includes(snapshot.op)) play(snapshot.op);
      step = snapshot.step;
    },
  };
}
