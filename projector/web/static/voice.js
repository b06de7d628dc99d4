// The shop's own voice for each kind of step: recorded with the phone's recorder, kept in the book, played without network.
import { get, h, post, t, tell, trying } from "./tools.js";

let playing = null;
export function play(op) {
  playing?.pause();
  playing = new Audio(`/voice/${op}`);
  playing.play().catch(() => { /* the phone plays nothing before the first tap on a page */ });
}

export function voiceCard() {
  const rows = h("div", {});
  const fill = told => rows.replaceChildren(...told.ops.map(op => row(op, told.recorded.includes(op), recorded => fill({ ...told, recorded }))));
  trying(async () => fill(await get("/voice")));
  return h("div", {}, h("p", { class: "dim", text: t("voice.how") }), rows);
}

function row(op, is_recorded, after) {
  const file = h("input", { type: "file", id: `voice-${op}`, accept: "audio/*", capture: "user", "aria-label": t("voice.record", { op: t(`op.${op}`) }) });
  file.addEventListener("change", () => trying(async () => {
    const form = new FormData();
    form.append("sound", file.files[0]);
    after((await post(`/voice/${op}`, form)).recorded);
    tell(t("voice.kept", { op: t(`op.${op}`) }));
  }));
  const forget = () => trying(async () => after((await post(`/voice/${op}/forget`, {})).recorded));
  return h("div", { class: "voice" }, h("span", { text: t(`op.${op}`) }), h("div", { class: "row" }, h("label", { class: "button" }, file, h("span", { text: t("voice.again") })),
    is_recorded ? h("button", { type: "button", text: t("voice.play"), onclick: () => play(op) }) : null,
    is_recorded ? h("button", { type: "button", text: t("voice.forget"), onclick: forget }) : null));
}
