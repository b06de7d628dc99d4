// The table: photographs, the long line, spots, where she stands; the code for another phone; language.
import { ask, speak } from "./page.js";
import { offers_of, pressed } from "./cut.js";
import { firm, h, language, post, stored, t, tell, trying } from "./tools.js";

const number = value => (value === null || value === undefined ? "–" : value.toFixed(2));

function side(name, options) {
  const chosen = h("select", { "data-side": name, id: `side-${name}`, onchange: event => ask(name, { to: event.target.value }) }, options.map(to => h("option", { value: to, text: t(`side.${to}`) })));
  return h("div", { class: "row" }, h("label", { class: "grow", for: `side-${name}`, text: t(`offer.${name}`) }), chosen);
}

function photographs() {
  const progress = h("progress", { max: "1", value: "0", hidden: true, "aria-label": t("sending") });
  const files = h("input", { type: "file", name: "photo", id: "photo", accept: "image/jpeg,image/png", multiple: true });
  const form = h("form", { id: "photos" },
    h("p", {}, h("label", { for: "photo", text: t("table.photo") })), files,
    h("div", { class: "row" },
      h("label", { class: "grow" }, t("table.bar_x"), h("input", { type: "text", name: "bar_x", inputmode: "decimal", autocomplete: "off" })),
      h("label", { class: "grow" }, t("table.bar_y"), h("input", { type: "text", name: "bar_y", inputmode: "decimal", autocomplete: "off" }))),
    h("p", {}, h("button", { class: "main", text: t("table.send") })), progress);
  form.addEventListener("submit", event => {
    event.preventDefault();
    if (!files.files.length) return tell(t("table.no_photo"));
    const sending = new XMLHttpRequest();  // fetch tells no progress of an upload
    progress.hidden = false;
    sending.upload.onprogress = told => { progress.value = told.loaded / told.total; };
    sending.onload = () => {
      progress.hidden = true;
      const told = JSON.parse(sending.responseText || "{}").error;
      if (told) tell([told.what, told.why, told.next].filter(Boolean).join(" "));
    };
    sending.onerror = () => { progress.hidden = true; tell(t("no_answer")); };
    sending.open("POST", "/photos");
    sending.send(new FormData(form));
  });
  return form;
}

export function tableScreen() {
  const facts = h("table", {});
  const taped = h("input", { type: "text", name: "as_read", id: "as_read", autocomplete: "off", placeholder: "51 1/4 in, 130.2 cm" });
  const shown = h("p", { class: "dim" });
  const form = h("form", { id: "taped", class: "row" }, taped, h("button", { class: "main", text: t("table.that_is_it") }));
  form.addEventListener("submit", event => { event.preventDefault(); ask("taped", { as_read: taped.value }); });
  const display = h("form", { class: "row" }, h("label", { for: "display", class: "grow", text: t("table.display") }), h("input", { type: "text", id: "display", inputmode: "numeric", size: "3" }), h("button", { text: t("table.throw") }));
  display.addEventListener("submit", event => { event.preventDefault(); ask("projector", { display: Number(display.querySelector("input").value) }); });
  const forget = h("button", { type: "button", text: t("table.forget_phone") });
  firm(forget, async () => { stored.clear(); await trying(() => post("/leave", {})); location.reload(); });
  const tongue = h("select", { id: "tongue", onchange: event => speak(event.target.value) }, h("option", { value: "en", text: "English" }), h("option", { value: "fr", text: "Français" }));
  tongue.value = language;
  const element = h("div", {},
    h("h1", { text: t("table.title") }), facts,
    h("h2", { text: t("table.one") }), h("p", { class: "dim", text: t("table.one_how") }), display, h("p", {}, h("button", { type: "button", "data-name": "frame", text: t("table.frame"), onclick: () => ask("frame") })), photographs(),
    h("h2", { text: t("table.two") }), h("p", { class: "dim", text: t("table.two_how") }), h("p", {}, h("button", { type: "button", "data-name": "proof", text: t("table.long_line"), onclick: () => ask("proof") })), shown, h("label", { for: "as_read", text: t("table.reads") }), form,
    h("h2", { text: t("table.bumped") }), h("p", { class: "dim", text: t("table.bumped_how") }), offers_of("table", ["projector", "frame", "proof", "taped", "worker_side", "lens_side", "cutting_hand"]), h("p", {}, h("button", { type: "button", text: t("table.leave"), onclick: () => ask("leave") })),
    h("h2", { text: t("table.stand") }), side("worker_side", ["bottom", "right", "top", "left"]), side("lens_side", ["bottom", "right", "top", "left"]), side("cutting_hand", ["right", "left"]),
    h("h2", { text: t("table.phone") }), h("img", { class: "code", src: "/code.svg", alt: t("table.code") }), h("p", { class: "dim", text: t("table.phone_how") }),
    h("div", { class: "row" }, h("label", { for: "tongue", class: "grow", text: t("table.language") }), tongue), h("p", {}, forget));
  return {
    element,
    update(snapshot) {
      const table = snapshot.table;
      facts.replaceChildren(...(table ? [[t("table.shape"), `${number(table.shape_mm)} mm`], [t("table.size"), table.size_percent === null ? t("table.not_taped") : `${number(table.size_percent)} %`], [t("table.spots"), table.spots.length], [t("table.day"), table.day || "–"]] : [[t("table.none"), ""]]).map(([name, value]) => h("tr", {}, h("th", { scope: "row", text: name }), h("td", { class: "n", text: value }))));
      shown.textContent = snapshot.proof_mm ? t("table.line_shown", { length: snapshot.unit === "in" ? `${(snapshot.proof_mm / 25.4).toFixed(2)} in` : `${(snapshot.proof_mm / 10).toFixed(1)} cm` }) : "";
      for (const each of element.querySelectorAll("select[data-side]")) each.value = snapshot[each.dataset.side];
      pressed(element, snapshot);
    },
  };
}
