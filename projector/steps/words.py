"""Every word of the steps, one mapping per language: (title thrown on the table, sentence for the phone).

Titles hold at most eight words with their values filled in. A language is a mapping with the same keys.
"""

from collections.abc import Mapping

from projector.steps.words_fr import FRENCH, NAMES
from projector.steps.words_fr import SAID as SAID_FRENCH

Text = tuple[str, str]

ENGLISH: Mapping[str, Text] = {
    "prepare": (
        "{cloth}: press, square the end, trim",
        "{cloth}: press it, pull a thread or set a square on the selvedge, and trim the raw end square.",
    ),
    "prepare_fusible": (
        "{cloth}: square the end, no iron",
        "{cloth}: do not iron it, the glue would melt. Smooth it by hand, set a square on the selvedge, and trim the raw end square.",
    ),
    "width": (
        "Measure the width in three places",
        "{cloth}: measure from edge to edge at both ends and in the middle. The lay was made for {width}; if narrower, lay again.",
    ),
    "open": ("Lay it open, right side {face}", "{cloth}: one layer, right side {face}, grain along the table, no fold."),
    "lengthwise": (
        "Fold once along the cloth",
        "{cloth}: fold {sides} along its length, selvedge on selvedge: the folded layer is {depth} deep.",
    ),
    "off_centre": (
        "Fold along, {depth} deep",
        "{cloth}: fold {sides} along its length, the {edge} selvedge {depth} from the fold; the rest stays a single layer.",
    ),
    "crosswise": (
        "Fold once across the cloth",
        "{cloth}: fold the end back {sides}, {along} from end to fold, selvedges on selvedges.",
    ),
    "quarters_along": (
        "Fold in quarters along: four layers",
        "{cloth}: fold along the middle, {sides}: the centre front. Bring that fold over to {short} short of the free edges.",
    ),
    "quarters_across": (
        "Fold in quarters across: four layers",
        "{cloth}: cut off {whole}. Fold it across the middle, {sides}: centre front. Bring that fold {short} from the ends.",
    ),
    "crossed_four": (
        "Fold across, then along: four layers",
        "{cloth}: fold the end back {sides}, {along} from end to fold, then once along, so that four layers lie {depth} deep.",
    ),
    "layers": (
        "Check {layers} and {depth}",
        "Count {layers} here and hold the stack against the bar of light: from fold to edge at least {depth}. Less: fold again.",
    ),
    "layers_open": (
        "Check {layers} and {depth}",
        "One layer here: hold it against the bar of light, from edge to edge at least {depth}. Less: lay it again.",
    ),
    "weights": ("Smooth it, set weights", "Smooth the layers without stretching them and set weights clear of the lines."),
    "place": (
        "Light to fold corner, then edge",
        "Leave the cloth where it lies and move the light: first cross on the corner, second cross on the edge.",
    ),
    "place_open": (
        "Light to corner, then edge",
        "Leave the cloth where it lies and move the light: first cross on the cloth's corner, second cross along its edge.",
    ),
    "print": (
        "Place the print, arrows up",
        "The print's up runs {up}. The sewing line is a window: move the light until the motif stands in its cross, clear of bust points.",
    ),
    "print_any": (
        "Place the print",
        "The sewing line is a window on the print: move the light until the motif stands in its cross, clear of bust points.",
    ),
    "print_seen": ("See the print: same letter, same motif", "Look before you cut."),
    "print_letters": ("", " Same letter, same place of the print: {letters}."),
    "print_repeats": ("", " If not, measure the repeat again and lay again."),
    "print_by_hand": ("", " If not, push that piece on the phone to the next same motif, lock it and lay it on the table again."),
    "slide": (
        "Pin marks, pull, marks meet",
        "Pin the two marks, pull the cloth along until both pins lie on the crosses again, then set the weights.",
    ),
    "tape": ("Tape {piece}", "Lay your tape on the lines: {lengths}."),
    "tape_split": ("", " Edge to edge stands first, then what is sewn and the allowances."),
    "tape_quarter": ("", " In brackets: her measure by four, without ease or darts."),
    "cut_one": ("Cut {piece}: {layers}", "Follow the bold line of {pieces} through {layers}, your eyes a hand ahead of the blade."),
    "cut_more": (
        "Cut {count} pieces: {layers}",
        "Follow the bold lines of {pieces} through {layers}, your eyes a hand ahead of the blade.",
    ),
    "cut_outer": (
        "Cut the outer line: {layers}",
        "Cut {layers} along the bold line, the outer line of {pieces}. Dotted lines come later: do not touch them.",
    ),
    "cut_rest": ("Now only {piece}: {layers}", "Cut what is left of {pieces}, {layers} only. Start in the earlier cut."),
    "cut_block": (
        "Block for {piece}: {layers}",
        "Cut the block on the bold line, {room} outside the cut line of {pieces}, through {layers}. It is fused first and cut true after.",
    ),
    "first": ("", " The {edge} is cut at its shallow line; it is deepened at the fitting."),
    "first_waist": ("", " The {edge} is cut short of its line; it is let out once the skirt has hung."),
    "block": ("", " {pieces}: a block, {room} outside the cut line; it is fused first and cut true after."),
    "bias": ("", " It lies on the bias: do not pull it while you cut."),
    "part": (
        "Card between layers {above} and {below}",
        "Slip a card under the upper {count}. Look at the dotted outline: {pieces} must lie on top. The card stays until they are lifted.",
    ),
    "snip": (
        "Snip {depth}: {layers}",
        "Snip {pieces} at the bright marks through {layers}: {depth} from the edge inward, never nearer than {clear} to the sewing line.",
    ),
    "pin": (
        "Pin darts and points: {layers}",
        "Pins straight down through {layers} of {pieces}. Once lifted, part the layers, dot each on its wrong side. Never cut a dart.",
    ),
    "pin_one": (
        "Pin darts and points: {layers}",
        "A pin straight down at each bright point of {pieces}. Once lifted, dot or thread each on the wrong side. Never cut a dart.",
    ),
    "snip_back": (
        "Same snips through the interfacing",
        "See that every snip goes through the interfacing too: {pieces}, {depth} from the edge inward.",
    ),
    "tag": ("Tag {piece}: {layers}", "Pin a tag on every layer of {pieces}: number, name, allowances."),
    "tag_more": ("Tag {count} pieces: {layers}", "Pin a tag on every layer of {pieces}: number, name, allowances."),
    "lift": ("Lift {piece} off", "Lift {pieces} off the table."),
    "lift_more": ("Lift {count} pieces off", "Lift {pieces} off the table."),
    "together": ("", " Keep the layers of each pinned together."),
    "below": ("", " What lies below must not move."),
    "lay_on": ("Lay on {piece}", "Lay {pieces} on its block of cloth, glue to the wrong side."),
    "lay_on_more": ("Lay on {count} interfacings", "Lay {pieces} on their blocks of cloth, glue to the wrong side."),
    "fuse": ("Fuse {piece}", "Press {pieces} until the interfacing holds, and let the block lie flat until cold."),
    "fuse_more": ("Fuse {count} blocks", "Press {pieces} until the interfacing holds, and let the blocks lie flat until cold."),
    "lay_fused": ("Lay the fused block here", "Lay the fused block of {pieces} inside the thin outline, as it lay when it was cut."),
    "lay_fused_more": (
        "Lay {count} fused blocks here",
        "Lay the fused blocks of {pieces} inside the thin outlines, as they lay when they were cut.",
    ),
    "trim": ("Cut {piece} true", "Cut the fused block of {pieces} along the bold line, cloth and interfacing together."),
    "trim_more": (
        "Cut {count} fused pieces true",
        "Cut the fused blocks of {pieces} along the bold lines, cloth and interfacing together.",
    ),
    "turn_over": (
        "Lay {piece} on its outline",
        "Lay the fused piece on the outline of {pieces}, folded or turned over as the outline asks.",
    ),
    "turn_over_more": (
        "Lay {count} pieces on their outlines",
        "Lay the fused pieces on the outlines of {pieces}, folded or turned over as the outlines ask.",
    ),
    "trim_back": ("Interfacing on the same line", "The interfacing must end on the bold line too: cut away what stands out of {pieces}."),
    "lay_again": (
        "Lay {piece} again on crosses",
        "Lay {pieces} again as it lay when it was cut, {layers} pinned together: its edge on the thin line, its corners in the crosses.",
    ),
    "lay_again_more": (
        "Lay {count} pieces again on crosses",
        "Lay {pieces} again as they lay when they were cut: their edges on the thin lines, their corners in the crosses.",
    ),
    "again": (
        "Cut {piece} again: {layers}",
        "The dress was changed since: cut {pieces} again along the bold line, up to {most} inside the old edge, through {layers}.",
    ),
    "again_more": (
        "Cut {count} pieces again: {layers}",
        "The dress was changed since: cut {pieces} again along the bold lines, up to {most} inside the old edges.",
    ),
    "tag_again": (
        "Tag {piece} again: {layers}",
        "Pin the tag on {pieces} again with the new allowances. Old snips and dots beside the new ones no longer count.",
    ),
    "tag_again_more": (
        "Tag {count} pieces again: {layers}",
        "Pin the tags on {pieces} again with the new allowances. Old snips and dots beside the new ones no longer count.",
    ),
    "open_rest": (
        "Lay the rest open: one layer",
        "{cloth}: square the end of what is left and lay {long} of it open, one layer, right side {face}, without a fold.",
    ),
    "unfold_rest": (
        "Unfold the rest: one layer",
        "{cloth}: unfold what is left, square its end and lay {long} of it open, one layer, right side {face}.",
    ),
    "strip_tape": ("Tape the strip: {width}", "Lay your tape square across the bias strip: {width} between its lines."),
    "strips": (
        "Cut the bias strip: {layers}",
        "Cut along the bold lines through {layers}, on the bias: do not pull. Its ends squared off it gives {whole}.",
    ),
    "strips_more": (
        "Cut {count} bias strips: {layers}",
        "Cut along the bold lines through {layers}, on the bias: do not pull. All {all} strips, {join} a join on the grain, give {whole}.",
    ),
    "fit": (
        "Tack {cloth}, fit, then go on",
        "Tack {pieces} together and try it on. Type what was pinned: the lines of what is not cut yet move. Then go on.",
    ),
    "hang": ("Hang {piece} for a day", "Hang {pieces} by the waist for a day; level the hem and cut it after that."),
    "hang_more": ("Hang {count} pieces for a day", "Hang {pieces} by the waist for a day; level the hems and cut them after that."),
}

SAID: Mapping[str, str] = {
    "layer": "1 layer",
    "layers": "{n} layers",
    "up": "up",
    "down": "down",
    "and": " and ",
    "along": "along the cloth",
    "across": "across the cloth",
    "either": "along or across the cloth",
    "letter_motif": "{letter} the motif",
    "letter_side": "{letter} side at {level}",
    "at_bust": "bust",
    "at_waist": "waist",
    "at_hip": "hip",
    "at_skirt_waist": "skirt waist",
    "at_skirt_hip": "hip",
    "sides_in": "right sides together",
    "sides_out": "wrong sides together (print outside)",
    "edge_over": "upper",
    "edge_under": "lower",
    "fold_to_edge": "fold to edge at {length}",
    "edge_to_edge": "edge to edge at {length}",
    "down_middle": "top to bottom through the middle {length}",
    "need_shrunk": "washed or shrunk first, as the dress will be",
    "need_square": "the raw end is square",
    "need_width": "no width measured under {width}",
    "need_folded": "it lies as the step before says",
    "need_counted": "layers counted, none short of the bar",
    "need_weights": "the weights are set",
    "need_begun": "the cut through all layers is made",
    "need_off": "{pieces} lifted off",
    "need_laid_on": "the interfacing lies on its block, glue down",
    "need_true": "{pieces} cut true",
    "need_proof": "the long line agrees with your tape",
    "need_light": "the light lies on the cloth",
    "need_card": "the card lies between layers {above} and {below}",
    "need_lies": "the pieces lie on their outlines",
    "need_cut": "{pieces} cut loose",
    "need_lit": "{pieces} cut as far as this light reaches",
    "need_tag": "{pieces} tagged",
    "need_fused": "{pieces} fused and cold",
    "need_lifted": "everything cut in this light is lifted",
}
"""Smaller words that the sentences above are put together from."""


class Words:
    """The words of one language, filled in. `names`: shown names of pieces whose code name is not a word."""

    def __init__(self, texts: Mapping[str, Text] = ENGLISH, said: Mapping[str, str] = SAID, names: Mapping[str, str] | None = None) -> None:
        self.texts, self.said_by, self.names = texts, said, dict(names or {})

    def text(self, key: str, **values: object) -> Text:
        """Title and sentence."""
        title, say = self.texts[key]
        return title.format(**values), say.format(**values)

    def said(self, key: str, **values: object) -> str:
        """One of the smaller words."""
        return self.said_by[key].format(**values)

    def layers(self, count: int) -> str:
        """`1 layer`, `4 layers`."""
        return self.said("layer") if count == 1 else self.said("layers", n=count)

    def piece(self, name: str) -> str:
        """A piece as she calls it."""
        return self.names.get(name, name.replace("_", " "))

    def listed(self, names: list[str]) -> str:
        """`front, back and sleeve`, each once."""
        shown = [self.piece(name) for name in dict.fromkeys(names)]
        return shown[0] if len(shown) == 1 else ", ".join(shown[:-1]) + self.said("and") + shown[-1]


EN = Words(names={"main": "dress cloth"})
LANGUAGES: Mapping[str, Words] = {"en": EN, "fr": Words(FRENCH, SAID_FRENCH, NAMES)}
