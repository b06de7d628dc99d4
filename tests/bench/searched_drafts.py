"""Numbers of body, draft and garment that no test need notice, each with its reason; searched.py holds the other stages'."""

from collections.abc import Mapping

ROUNDING = "of the arithmetic or of flattened curves: far under the 0.05 mm that is promised"
TRIED = "tried in order until what comes out keeps its limits; the limits are tested and the checker holds them"
BOUND = "a bound on a loop that settles long before"
NEVER = "never decides: "
CLOSE = "points so close together stand for the line: distances differ by hundredths of a mm"
WAY = "how a line is led that nothing is measured against; smooth corners and equal seams are checked"

UNNOTICED: Mapping[str, str] = {
    **{
        f"projector/{name}": ROUNDING
        for name in (
            "draft/curve.py:TURN_PER_STEP", "draft/curve.py:CHORD_MM", "draft/curve.py:STEP_MAX", "draft/curve.py:END_STEP",
            "draft/curve.py:_PLACES", "draft/frame.py:FLATTENED_BUST_MM", "draft/frame.py:FLATTENED_WAIST_MM",
            "draft/skirt.py:FLATTENED_HIP_MM", "draft/sleeve.py:FLATTENED_CAP_MM", "draft/ring.py:ARC_STEP",
            "draft/sleeve_fuller.py:PARTS", "draft/bodice_darts.py:INSIDE_MM", "draft/curve.py:WALK_MM",
            "garment/lines.py:ON_LINE_MM", "garment/lines.py:NO_STEP_MM", "garment/facing.py:OFF_CENTRE_MM",
            "garment/facing.py:CRUMB_MM", "garment/make_piece.py:DECIMALS", "draft/skirt_panels.py:SNAP_MM",
        )
    },
    **{
        f"projector/{name}": TRIED
        for name in (
            "draft/bodice_front.py:STRETCH_MOST", "draft/bodice_front.py:SHRINK_MOST", "draft/bodice_front.py:TOP_SHARES[1]",
            "draft/bodice_front.py:TOP_SHARES[2]", "draft/bodice_front.py:TOP_SHARES[4]", "draft/bodice_front.py:TOP_SHARE_STEP",
            "draft/bodice_front.py:BUST_TILTS_DEG", "draft/inset.py:FLATTER", "draft/inset.py:SHALLOWER_MM",
            "draft/neck.py:SHALLOW_HANDLES", "draft/sleeve_styles.py:SPREADS_MM[1]", "garment/facing.py:LOWER_HANDLES",
            "garment/facing.py:FLATTER_HANDLES", "garment/facing.py:NECK_WIDEST_MM",
        )
    },
    "projector/draft/bodice.py:ROUNDS_MAX": BOUND,
    "projector/body/stand_ins.py:ROUNDS": BOUND,
    "projector/draft/neck.py:BACK_HOLLOWS_MM": "steps of a back neck that gives way, the least of them that will do",
    "projector/draft/neck_room.py:NARROWED_TIMES": "halvings of a neck that gives way: from 1 mm of 120 on",
    "projector/draft/bodice_darts.py:WAIST_DART_LEAST_MM": NEVER + "a front waist dart is none or over 4 mm, since the front takes 4 more",
    "projector/draft/sleeve.py:CAP_SHARE_REFUSED": NEVER + "the governor has made the armhole large enough before",
    "projector/draft/sleeve.py:CAP_EASE_MOST_MM": NEVER + "the style's range ends there too",
    "projector/draft/skirt.py:SIDE_RAISE_MOST_MM": NEVER + "0.28 of the most that a side takes in is as much",
    "projector/draft/neck_room.py:BACK_NECK_MOST_MM": NEVER + "the style's range ends there too, and a head passes before",
    "projector/draft/waistline.py:NOTHING_TO_TAKE_MM": "the skirt takes its length from here: seams meet whatever it is",
    "projector/body/mix_ups.py:_FINEST_MM": "which of two proposals comes first; with none readable all are tried",
    "projector/body/mix_ups.py:_PER_STATURE": "no front length that is possible lies 1.9 times off",
    "projector/draft/curve.py:flat#2=0.75": ROUNDING,
    "projector/draft/curve.py:flat#3=8": ROUNDING,
    "projector/draft/curve.py:line#0=3": "a straight line is the same wherever on it its handles lie",
    "projector/draft/curve.py:line#2=3": "a straight line is the same wherever on it its handles lie",
    "projector/draft/curve.py:root#7=4": "every such step halves, however often: what is found is the same",
    "projector/draft/curve.py:root#8=3": "every such step halves, however often: what is found is the same",
    "projector/draft/sleeve_fuller.py:_spread_cap#2=33": ROUNDING,
    "projector/draft/waistline.py:placed#1=0.05": ROUNDING,
    **{
        f"projector/draft/{name}": "where a root is looked for: it lies well between"
        for name in (
            "sleeve_fuller.py:_with_length#3=0.1", "sleeve_fuller.py:_with_length#4=0.6", "sleeve_fuller.py:_with_length#5=0.1",
            "sleeve_fuller.py:_with_length#6=0.6", "sleeve_fuller.py:flared#2=0.05", "sleeve_fuller.py:flared#3=3",
            "waistline.py:_angles#1=0.99", "waistline.py:waistline#5=1.6", "waistline.py:waistline#6=0.9",
        )
    },
    "projector/draft/sleeve_fuller.py:_with_length#1=3": WAY,
    "projector/draft/sleeve_fuller.py:_smooth_run#0=3": WAY,
    "projector/draft/sleeve_fuller.py:_smooth_run#1=3": WAY,
    "projector/draft/bodice_back.py:_centre_line#1=5": "where the seam begins under a deep neck: 1 mm moves it by 0.06",
    "projector/draft/bodice_front.py:_armhole#1=26": NEVER + "of 1,600 broad bodies tried none came within 8 mm of it",
    "projector/draft/bodice_front.py:_top_shares#1=0.02": NEVER + "the middle follows in any case",
    "projector/draft/bodice_panels.py:_inside#0=1e+09": "above every level",
    "projector/draft/sleeve.py:_caps#0=15": NEVER + "no head is so flat",
    "projector/draft/sleeve.py:_caps#1=0.97": NEVER + "no head stands so high",
    "projector/body/mix_ups.py:_readable#0=0.02": "which of two proposals comes first; with none readable all are tried",
    "projector/garment/alter.py:allowance_left_mm#0=5": "how closely a line is looked along; its corners are looked at in any case",
    "projector/garment/alter.py:_fold_lines#4=0.05": ROUNDING,
    "projector/garment/alter.py:covers#0=0.05": ROUNDING,
    **{
        f"projector/garment/{name}": CLOSE
        for name in (
            "facing.py:is_wide#0=4", "facing.py:is_wide#1=8", "facing.py:_ended_at#1=4", "facing.py:one_facings#1=4",
            "lining.py:_lowered_darts#0=3",
        )
    },
    **{
        f"projector/garment/facing.py:{name}": TRIED
        for name in (
            "neck_facing_widths#1=3", "neck_facing_widths#2=4", "neck_facing_widths#3=4", "one_facings#0=90", "_depths#0=4", "_depths#1=4",
            "_depths#2=4",
        )
    },
    "projector/garment/lining.py:_join_rolled#0=20": "further than the 2 mm that an edge is rolled in",
    "projector/garment/make_piece.py:_on_grain#0=90": "a shorter way: turned by nothing a line is the same",
    **{f"projector/garment/own.py:piece_of#{place}=10000": "further than any block, which is 3 m at the most" for place in (5, 6, 7)},
    "projector/garment/cut_line.py:REACH_MM": "further than any allowance",
    "projector/garment/cut_line.py:_RANK": "an order: any number above the others' says the same",
    "projector/garment/cut_line.py:STRAIGHT_ON": WAY,
    "projector/garment/lines.py:EASED_OVER_MM": WAY,
}  # fmt: skip
"""As in searched.py."""
