// The picture she brought: hers, kept on her card; or of one dress, which is looked at first.
import { h, post, t, tell, trying } from "./tools.js";

const at = (kind, name) => `/picture/${kind}/${encodeURIComponent(name)}?${Date.now()}`;

// `kind`: clients or orders; `name`: whose; `client`: whose picture is shown where the dress has none.
export function style_picture(kind, name, client = () => "") {
  const shown = h("img", { class: "style-picture", alt: t("picture.title"), hidden: true });
  const tries = [];
  const try_next = () => { shown.hidden = true; const next = tries.shift(); if (next) shown.src = next; };
  const show = () => {
    const hers = client();
    tries.splice(0, tries.length, ...(name() ? [at(kind, name())] : []), ...(typeof hers === "string" && hers ? [at("clients", hers)] : []));
    try_next();
  };
  shown.addEventListener("load", () => { shown.hidden = false; });
  shown.addEventListener("error", try_next);
  const file = h("input", { type: "file", id: "style-picture", accept: "image/jpeg,image/png" });
  file.addEventListener("change", () => trying(async () => {
    if (!name()) { tell(t("picture.first")); return; }
    const form = new FormData();
    form.append("photo", file.files[0]);
    await post(`/picture/${kind}/${encodeURIComponent(name())}`, form);
    tell(t("picture.kept"));
    show();
  }));
  show();
  return h("div", { class: "card" }, h("label", { for: "style-picture", text: t(kind === "clients" ? "picture.title" : "picture.dress") }), shown, file);
}
