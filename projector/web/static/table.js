// The table: photographs, the long line, spots, where she stands; the code for another phone; language.
import { ask, desk, speak } from "./page.js";
import { offers_of, pad, pressed } from "./cut.js";
import { firm, get, h, language, passing, post, stored, t, tell, trying } from "./tools.js";

const number = value => (value === null || value === undefined ? "–" : value.toFixed(2));
const FOR_BUMPS = ["spots", "spots_true", "shadow", "error", "leave"], HINTS = [1, 2, 3, 4, 5];

function side(name, options, where = "") {
  const id = `side-${where}${name}`;
  const chosen = h("select", { "data-side": name, id, onchange: event => ask(name, { to: event.target.value }) }, options.map(to => h("option", { value: to, text: t(`side.${to}`) })));
  return h("div", { class: "field" }, h("label", { for: id, text: t(`offer.${name}`) }), chosen);
}

// A form that sends photographs with progress (fetch tells no progress of an upload).
function photographs(id, path, ...more) {
  const progress = h("progress", { max: "1", value: "0", hidden: true, "aria-label": t("sending") });
  const files = h("input", { type: "file", name: "photo", id, accept: "image/jpeg,image/png", multiple: true });
  const button = h("button", { class: "main", text: t("table.send") });
  const form = h("form", { id: `${id}s` }, h("label", { for: id, text: t("table.photo") }), files, ...more, h("p", {}, button), progress);
  form.addEventListener("submit", event => {
    event.preventDefault();
    if (!files.files.length) return tell(t("table.no_photo"));
    const sending = new XMLHttpRequest();
    const ended = text => { progress.hidden = true; button.disabled = false; if (text) tell(text); };
    progress.hidden = false;
    button.disabled = true;
    sending.upload.onprogress = told => { progress.value = told.loaded / told.total; };
    sending.onload = () => { const told = JSON.parse(sending.responseText || "{}").error; ended(told ? [told.what, told.why, told.next].filter(Boolean).join(" ") : ""); };
    sending.onerror = () => ended(t("no_answer"));
    sending.open("POST", path);
    sending.send(new FormData(form));
  });
  return form;
}

const bar = name => h("div", { class: "field" }, h("label", { for: name, text: t(`table.${name}`) }), h("input", { type: "text", name, id: name, autocomplete: "off", placeholder: "9 7/8 in" }));
const offer = (name, key, main) => h("button", { type: "button", class: main ? "main" : null, "data-name": name, text: t(key), onclick: () => ask(name) });

function display() {
  const field = h("input", { type: "text", id: "display", inputmode: "numeric", size: "2", autocomplete: "off" });
  const form = h("form", {}, h("label", { for: "display", text: t("table.display") }), h("div", { class: "row" }, field, h("button", { text: t("table.throw") })));
  form.addEventListener("submit", event => { event.preventDefault(); ask("projector", { display: Number(field.value) }); });
  return h("details", {}, h("summary", { text: t("table.which_lamp") }), h("p", { class: "dim", text: t("table.which_how") }), offer("numbers", "table.numbers"), form);
}

function another_phone() {
  const codes = h("div", {});
  trying(async () => {
    const told = await get("/addresses");
    codes.replaceChildren(...(told.addresses.length ? told.addresses.map((each, place) => h("div", {}, told.addresses.length > 1 ? h("p", { text: t("table.network", { n: place + 1, address: each }) }) : h("p", { class: "dim", text: each }), h("img", { class: "code", src: `/code.svg?n=${place}`, alt: t("table.code") }))) : [h("p", { text: t("table.alone") })]), told.addresses.length > 1 ? h("p", { class: "dim", text: t("table.two_networks") }) : "");
  });
  return h("details", {}, h("summary", { text: t("table.phone") }), h("p", {}, offer("code", "offer.code")), codes, h("p", { class: "dim", text: t("table.phone_how") }), h("h3", { text: t("table.hotspot") }), h("ol", {}, [1, 2, 3, 4].map(n => h("li", { text: t(`hotspot.${n}`) }))));
}

const hints = () => h("ul", {}, HINTS.map(n => h("li", { text: t(`setup.${n}`) })));
const worker = where => [side("lens_side", ["bottom", "right", "top", "left"], where), side("cutting_hand", ["right", "left"], where)];

// What the table shows once, at the first set-up: what the lamp needs; then the shadow of lamp and hand.
const FIRST = {
  setup: () => [h("h2", { text: t("setup.title") }), hints(), h("p", {}, offer("frame", "table.frame", true))],
  shadow: () => [h("h2", { text: t("shadow.title") }), h("p", { text: t("shadow.how") }), ...worker("first-"), h("p", {}, offer("leave", "shadow.seen", true))],
};

export function tableScreen() {
  const first = h("section", { class: "card", "aria-live": "polite", id: "first", hidden: true }), facts = h("table", {}), shown = h("p", { class: "dim" });
  const taped = h("input", { type: "text", name: "as_read", id: "as_read", autocomplete: "off", placeholder: "51 1/4 in, 130.2 cm" });
  const form = h("form", { id: "taped", class: "row" }, taped, h("button", { class: "main", text: t("table.that_is_it") }));
  form.addEventListener("submit", event => { event.preventDefault(); ask("taped", { as_read: taped.value }); });
  const forget = h("button", { type: "button", text: t("table.forget_phone") });
  firm(forget, async () => { stored.clear(); passing.clear(); await trying(() => post("/leave", {})); location.reload(); });
  const anew = h("button", { type: "button", "data-name": "new_code", text: t("offer.new_code") });
  firm(anew, () => ask("new_code"));
  const tongue = h("select", { id: "tongue", onchange: event => speak(event.target.value) }, h("option", { value: "en", text: "English", lang: "en" }), h("option", { value: "fr", text: "Français", lang: "fr" }));
  tongue.value = language;
  const others = desk.offers.filter(each => each.group === "table").map(each => each.name).filter(name => !FOR_BUMPS.includes(name));
  const moving = h("div", { hidden: true }, h("p", {}, offer("fix", "table.next_cross")), pad());
  const element = h("div", {},
    h("h1", { text: t("table.title") }), first, facts,
    h("section", { class: "card" }, h("h2", { text: t("table.one") }), h("p", { class: "dim", text: t("table.one_how") }), h("details", {}, h("summary", { text: t("setup.title") }), hints()), h("p", {}, offer("frame", "table.frame")), photographs("photo", "/photos", bar("bar_x"), bar("bar_y")), h("p", {}, offer("read_photographs", "table.from_folder")), display()),
    h("section", { class: "card" }, h("h2", { text: t("table.two") }), h("p", { class: "dim", text: t("table.two_how") }), h("p", {}, offer("proof", "table.long_line")), shown, h("label", { for: "as_read", text: t("table.reads") }), form),
    h("section", { class: "card" }, h("h2", { text: t("table.bumped") }), h("p", { class: "dim", text: t("table.bumped_how") }), offers_of("table", others), moving, h("p", {}, h("button", { type: "button", text: t("table.leave"), onclick: () => ask("leave") })),
      h("details", {}, h("summary", { text: t("table.learn") }), h("p", { class: "dim", text: t("table.learn_how") }), photographs("survey", "/survey"))),
    h("section", { class: "card" }, h("h2", { text: t("table.stand") }), side("worker_side", ["bottom", "right", "top", "left"]), ...worker("")),
    h("section", { class: "card" }, h("div", { class: "field" }, h("label", { for: "tongue", text: t("table.language") }), tongue), language === "en" ? null : h("p", { class: "dim", text: t("table.english") }), another_phone(), h("div", { class: "row" }, anew, forget)));
  return {
    element,
    update(snapshot) {
      const table = snapshot.table;
      facts.replaceChildren(...(table ? [[t("table.shape"), `${number(table.shape_mm)} mm`], [t("table.size"), table.size_percent === null ? t("table.not_taped") : `${number(table.size_percent)} %`], [t("table.spots"), table.spots.length], [t("table.day"), table.day || "–"]] : [[t("table.none"), ""]]).map(([name, value]) => h("tr", {}, h("th", { scope: "row", text: name }), h("td", { class: "n", text: value }))));
      shown.textContent = snapshot.proof_mm ? t("table.line_shown", { length: snapshot.unit === "in" ? `${(snapshot.proof_mm / 25.4).toFixed(2)} in` : `${(snapshot.proof_mm / 10).toFixed(1)} cm` }) : "";
      moving.hidden = snapshot.mode !== "spots";
      if (first.dataset.mode !== snapshot.mode) {
        first.dataset.mode = snapshot.mode;
        first.hidden = !(snapshot.mode in FIRST);
        first.replaceChildren(...(FIRST[snapshot.mode]?.() ?? []));
        if (!first.hidden) window.scrollTo(0, 0);
      }
      for (const each of element.querySelectorAll("select[data-side]")) each.value = snapshot[each.dataset.side];
      pressed(element, snapshot);
    },
  };
}
