// Pieces moved by hand on the drawn lay: tap one, push it with the pad; what is wrong is told at once, everything is undone.
import { drawn, h, post, t, tell, trying } from "./tools.js";

const ACTS = ["turn", "flip", "stack", "tidy"];

const rect = (kind, [x, y, width, height]) => drawn("rect", { class: kind, x, y, width, height });

function drawing(lay, locked, chosen, choose) {
  const made = drawn("svg", { viewBox: lay.box.join(" "), role: "group", "aria-label": `${t("cloth.drawing")}: ${lay.cloth}` });
  made.append(...lay.regions.map(each => rect("cloth", each)), ...lay.parts.map(each => rect("part", each)));
  const size = Math.max(lay.box[2], 600) / 29;
  for (const piece of lay.placed) {
    const is_chosen = chosen && chosen.cloth === lay.cloth && chosen.number === piece.number;
    const group = drawn("g", { class: `piece${is_chosen ? " chosen" : ""}`, role: "button", tabindex: "0", "aria-pressed": Boolean(is_chosen), "aria-label": `${piece.piece}${locked.includes(piece.piece) ? `, ${t("hand.locked")}` : ""}` });
    const [x, y] = piece.at, name = `${locked.includes(piece.piece) ? "▪ " : ""}${piece.piece}`;
    const fits = Math.max(size * 0.6, Math.min(size, piece.wide / (0.58 * name.length)));  // a letter is about 0.58 of its size wide
    group.append(drawn("path", { d: piece.d, class: "placed" }), drawn("text", { x, y: y + fits * 0.35, "font-size": fits, "text-anchor": "middle" }, name));
    const pick = () => choose({ cloth: lay.cloth, number: piece.number, piece: piece.piece });
    group.addEventListener("click", pick);
    group.addEventListener("keydown", event => { if (event.key === "Enter" || event.key === " ") { event.preventDefault(); pick(); } });
    made.append(group);
  }
  made.append(...lay.strips.map(d => drawn("path", { d, class: "strip" })));
  for (const [x, y] of lay.crosses) made.append(drawn("path", { class: "motif", d: `M${x - 30},${y}H${x + 30}M${x},${y - 30}V${y + 30}` }));
  for (const [x, y, level] of lay.sides) made.append(drawn("path", { class: "motif side", role: "img", "aria-label": t(`level.${level}`), d: `M${x - 18},${y}H${x + 18}M${x},${y - 18}V${y + 18}` }));
  for (const [x, y, letter] of lay.letters) made.append(drawn("text", { class: "letter", x: x + 30, y: y - 12, "font-size": size * 0.7 }, letter));
  return made;
}

export function handPad(told, say) {
  let now = told, chosen = null, far = 5;
  const pictures = h("div", { class: "drawing whole", tabindex: "0", role: "region", "aria-label": t("cloth.drawing") });
  const name = h("b", { id: "hand-piece" });
  const act = more => trying(async () => {
    now = await post("/hand", { act: { ...chosen, ...more } });
    tell("");
    show();
    say(now);
  });
  const move = (sign, word, x, y) => h("button", { type: "button", class: "arrow", "data-move": word, "aria-label": t(`hand.${word}`), text: sign, onclick: () => act({ do: "move", dx_mm: x * far, dy_mm: y * far }) });
  const steps = h("div", { class: "row", role: "group", "aria-label": t("hand.far") }, [1, 5, 25].map(mm => h("button", { type: "button", "data-far": mm, text: `${mm}`, onclick: () => { far = mm; show(); } })), h("span", { class: "unit", text: "mm" }));
  const lock = h("button", { type: "button", id: "hand-lock", onclick: () => act({ do: "lock" }) });
  const undo = h("button", { type: "button", id: "hand-undo", text: t("hand.undo"), onclick: () => act({ do: "undo" }) });
  const acts = ACTS.map(each => h("button", { type: "button", "data-act": each, text: t(`hand.${each}`), onclick: () => act({ do: each }) }));
  const pad = h("div", { class: "card hand" }, name,
    h("div", { class: "cross-pad" }, h("span", {}), move("▲", "out", 0, 1), h("span", {}), move("◀", "back", -1, 0), lock, move("▶", "along", 1, 0), h("span", {}), move("▼", "in", 0, -1), h("span", {})),
    steps, h("div", { class: "row acts" }, acts, undo));
  function show() {
    const is_focused = pictures.contains(document.activeElement) && document.activeElement !== pictures;
    pictures.replaceChildren(...now.drawings.map(each => drawing(each, now.locked, chosen, picked => { chosen = picked; show(); })));
    if (is_focused) pictures.querySelector(".chosen")?.focus({ preventScroll: true });
    name.textContent = chosen ? chosen.piece : t("hand.choose");
    const is_locked = chosen && now.locked.includes(chosen.piece);
    lock.textContent = t(is_locked ? "hand.unlock" : "hand.lock");
    lock.setAttribute("aria-pressed", Boolean(is_locked));
    for (const button of pad.querySelectorAll("button")) if (button !== undo && button.dataset.act !== "tidy" && !button.dataset.far) button.disabled = !chosen;
    undo.disabled = !now.can_undo;
    for (const button of steps.querySelectorAll("button")) button.setAttribute("aria-pressed", Number(button.dataset.far) === far);
  }
  show();
  return h("div", {}, pictures, pad);
}
