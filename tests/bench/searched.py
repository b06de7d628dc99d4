"""Numbers that no test need notice, each with its reason; used by `tests.bench.mutants`, which prints it instead of trying them.

A search is judged by what comes out: valid (the independent checkers), and how good (tests.bench.lay, packing, accuracy).
"""

from collections.abc import Mapping

from tests.bench.numbers import Number
from tests.bench.searched_drafts import UNNOTICED as DRAFTS

SEARCH = "of the search: other ways are tried, every answer is checked, its worth is measured by the bench of lays"
ROUNDING = "of the arithmetic: any value between rounding (1e-9) and a thread (0.1 mm) decides the same"
FINDING = "of finding spots in a picture: a spot is found or not; rendered photographs decide, with wide margins"
STRAYS = "what is not cut strays over HAIR_MM (0.5 mm) from what is: from 0 to 0.5 mm it is the same"
SHORT_CUT = "how far a run goes on in an earlier cut that itself ends under 1 mm on: under half a millimetre either way"
DAMPING = "how a fit goes downhill; where it ends is NO_GAIN's, and every end is held against closed forms and OpenCV"
WORTH = "how much one place for words is worth over another; that they keep off lines and the bare table is tested"
SLOPE = "a small step for a slope: the slope is the same"

UNNOTICED: Mapping[str, str] = {
    "projector/steps/progress.py:INSIDE_MM": STRAYS,
    "projector/steps/unit.py:LOOSE_MM": STRAYS,
    "projector/steps/remains.py:KERF_MM": ROUNDING,
    "projector/steps/printed.py:SAME_MM": ROUNDING,
    **{
        f"projector/steps/{name}": ROUNDING
        for name in (
            "before.py:stroke#1=0.01", "runs.py:left_to_cut#0=5", "runs.py:left_to_cut#3=0.02", "runs.py:left_to_cut#4=0.01",
            "runs.py:_runs#0=0.02", "runs.py:_runs#2=0.02", "runs.py:_reach#3=0.01", "stack.py:_whole#1=0.001",
            "stack.py:_running_along#3=5", "stack.py:_without_inlets#3=0.001",
        )
    },
    "projector/steps/again.py:_most_inside#0=5": "how closely a run is looked along; its corners are looked at in any case",
    "projector/steps/runs.py:_reach#1=0.3": SHORT_CUT,
    "projector/steps/runs.py:_reach#2=0.1": SHORT_CUT,
    "projector/steps/shown.py:_grain#0=5000": "further than any piece is long",
    "projector/steps/shown.py:_beyond_fold#0=100000": "further than any piece is long",
    "projector/steps/shown.py:_snips#7=5": "beyond the cut line: the nearest crossing is taken",
    "projector/steps/shown.py:_snips#9=5": "beyond the cut line: the nearest crossing is taken",
    "projector/steps/tape.py:_edge_to_edge#0=5": "the width's own middle lies on its run, any other run further off than half a width",
    "projector/steps/tape.py:_beyond#0=120": "further than any allowance is wide",
    "projector/steps/tape.py:_length#0=5": "beyond the cut line: what lies inside it is taped",
    "projector/steps/tape.py:_length#1=5": "beyond the cut line: what lies inside it is taped",
    "projector/steps/make.py:MOST_PASSES": "no cloth is pulled to and fro so often; a bound on a loop",
    "projector/lay/board.py:HAIR_MM": ROUNDING,
    "projector/lay/lattice.py:TOUCH_MM": ROUNDING,
    "projector/lay/shapes.py:FAR_MM": "further than any cloth",
    "projector/lay/quarters.py:STEP_MM": "pieces of a stack are moved apart in such steps until the gap is kept; the gap is checked",
    "projector/lay/again.py:MOST_PUSHES": "a bound on a loop; what is wrong afterwards is told",
    "projector/lay/needs.py:_metres_up#0=0.01": ROUNDING,
    "projector/lay/wanted.py:CROWDED": SEARCH,
    "projector/lay/stacks.py:WASTED": SEARCH,
    **{
        f"projector/lay/{name}": SEARCH
        for name in (
            "search.py:SLACK", "search.py:HISTORY", "search.py:RESTART_AFTER", "sequence.py:MEAN_WEIGHT", "shapes.py:SIMPLIFY_MM",
            "shapes.py:FEW_CORNERS", "squeeze.py:LEAST_MM", "squeeze.py:ROUNDS", "task.py:FINE_MM", "task.py:OFF_LATTICE",
            "run.py:START_SHARE", "run.py:SEQUENCE_SHARE", "task.py:STEPS", "run.py:MOST_STARTS", "run.py:LEAST_ROUND",
            "run.py:MOST_SEQUENCES", "run.py:MOST_PASSES", "run.py:NEARLY", "run.py:MOST_SHAKEN", "loosen.py:SHORTEN",
            "loosen.py:PASSES", "loosen.py:HEAVIER", "loosen.py:LIGHTER", "choose.py:VARIANT_TRIALS", "stage.py:SHARE",
            "stage.py:OTHER_TRIALS", "stage.py:MOST_LOOK", "stage.py:LOOK_TRIALS",
        )
    },
    **{
        f"projector/lay/{name}": SEARCH
        for name in (
            "loosen.py:settle#5=0.4", "loosen.py:settle#6=0.6", "loosen.py:exchange#5=3", "loosen.py:loosen#4=0.2", "run.py:_begin#0=1.7",
            "run.py:_begin#1=300", "run.py:_begin#2=1.6", "run.py:orders#0=1009", "run.py:loosened#1=1009", "search.py:_changed#1=0.68",
            "search.py:_changed#2=0.34", "search.py:_changed#3=0.93", "search.py:_changed#4=0.8", "search.py:_changed#7=0.3",
            "search.py:improve#3=7", "search.py:improve#10=3", "search.py:improve#11=1.02", "shapes.py:grow#2=1.5", "shapes.py:grow#4=1.5",
            "shapes.py:grow#5=0.95", "shapes.py:grow#8=4", "task.py:__init__#2=1000", "task.py:__init__#4=7000",
        )
    },
    **{
        f"projector/lay/{name}": ROUNDING
        for name in (
            "again.py:_nearest#0=0.01", "again.py:_meets#0=0.01", "in_step.py:_lies_inside#0=0.01", "in_step.py:_lies_inside#1=0.01",
            "realise.py:faults_of#1=0.01",
        )
    },
    "projector/lay/shapes.py:half_outline#1=32": "how finely a block's round corners are drawn: under 0.01 mm",
    "projector/lay/board.py:__init__#4=12": "rows kept free above the deepest cloth: more of them only take memory",
    "projector/lay/board.py:_valid_bits#1=4000": "how many masks are kept",
    "projector/lay/held.py:_flaw_spot#5=90": "a flaw has no grain",
    "projector/lay/loosen.py:_depths#12=30": "further than any place of a grid",
    "projector/lay/refusals.py:most_telling#0=3": "an order: any number above the others' says the same",
    "projector/lay/run.py:_furthest_mm#2=50": "further than any first lay reaches",
    "projector/paper/drawing.py:ON_FOLD_MM": ROUNDING,
    "projector/paper/ticket.py:ROOM_FOR_WORDS_MM": "room kept for words: more of it only begins the next page sooner",
    "projector/scene/occupied.py:CELL_MM": "how finely places for words are looked up; that they keep off lines and each other is tested",
    "projector/scene/occupied.py:LARGEST_MM": "further than any light",
    **{
        f"projector/scene/layer.py:{name}": WORTH
        for name in ("OFF_CLOTH_MM", "OFF_CLOTH_WEIGHT", "CUT_WEIGHT", "LINE_WEIGHT")
    },
    "projector/scene/compose.py:KEPT": "how many pictures are kept",
    "projector/scene/primitives.py:Label.light": "every label of the product names its own",
    "projector/scene/text.py:_FLAT_UNITS": "how finely letters' curves are drawn: under 0.02 mm",
    "calibration/keep.py:LOCK_PATIENCE_S": "how long another program is waited for",
    "calibration/light.py:CORNER_STEP_MM": SLOPE,
    "calibration/fine.py:NUDGE": SLOPE,
    "calibration/least_squares.py:STILL_GAIN": "when a fit counts as settled: half of a standard deviation, far below what is stated",
    "calibration/least_squares.py:NO_GAIN": "when a fit ends: a thirtieth of a standard deviation",
    **{
        f"calibration/least_squares.py:fit#{place}": DAMPING
        for place in ("3=0.001", "12=1e+12", "17=10", "19=10", "22=1e+12")
    },
    "calibration/joint.py:rough_fit#0=3": "a beginning: the joint solve goes on from it with finer places",
    "calibration/joint.py:solve_joint#2=6": "which far spots count in a median of noise; a few more hardly move it, over 4 all are refused",
    **{
        f"calibration/stuck.py:{name}": "how many places of the light are looked at, its corners with them"
        for name in ("hung_on_spots#0=9", "hung_on_spots#1=5")
    },
    "calibration/fitted.py:fitted_picture#0=4": "further than any light reaches beyond its picture",
    "calibration/fitted.py:fitted_picture#1=255": "a channel's most: OpenCV writes no more",
    "calibration/frame.py:square_px#0=8": "the smallest picture's squares are 15 px",
    "calibration/frame.py:frame_green#5=3": "how far around a dot is looked; what lies in its circle is painted",
    "calibration/movement.py:_field#2=3": "a beginning: what agrees is chosen again by the field itself",
    **{
        f"calibration/movement.py:_affine#{place}=1000": "in what unit a slope is counted: found and applied in the same"
        for place in (3, 4, 5, 6)
    },
    "calibration/table_file.py:table_text#0=100000": "further than any line of the file is long",
    "calibration/cameras.py:USUAL_FOCAL": "a beginning: the photographs tell the focal length",
    "calibration/solve.py:FIRST_BLUR_PX": "a beginning: the edges tell their blur",
    "calibration/solve.py:ROUGH_SD": "a beginning: the joint solve learns the noise",
    "calibration/edges.py:SHEET_DPI": "how finely edges are looked up: 0.3 mm beside 9 mm of clear paper",
    **{
        f"calibration/outlines.py:{name}": "how an edge is looked at; outlines traced within 1 mm on rendered photographs decide"
        for name in ("ACROSS_MM", "SMOOTH_MM", "CURVE_MM", "STEP_MM", "LEAST_LINE_MM")
    },
    "calibration/flat_photo.py:MM_PER_PX": "how finely a photograph is redrawn; outlines traced within 1 mm on rendered photographs decide",
    "calibration/edges.py:AROUND_MM": "beyond it the distance at the rim is told, and is enough",
    **{
        f"calibration/{name}": FINDING
        for name in (
            "fine.py:FREE_SHARE", "fine.py:TINT_AT", "label_read.py:LEAST_AHEAD", "label_read.py:LEAST_FIT", "lateral.py:FAR_PX",
            "lateral.py:GREEN_SHARE", "lattice.py:SAME_STEP", "refine.py:LARGEST_PX", "refine.py:SMALLEST_PX", "refine.py:ROUNDING",
            "rough.py:ROUGH_PX", "saddles.py:OFF_LEVEL", "spot_find.py:BLUR_PX", "spot_find.py:NEAR_PX",
        )
    },
}  # fmt: skip
"""FILE:NAME to why it may change; of tuples and mappings every number, or FILE:NAME[PLACE] for one of them; FILE:FUNCTION#PLACE=VALUE in
a formula (with its value, for its place moves when the formula does)."""


def reason(number: Number) -> str:
    """Why this number may change; empty where a test should notice."""
    every, told = {**UNNOTICED, **DRAFTS}, f"{number.file}:{number.name}"
    return every.get(f"{told}={number.value:g}") or every.get(told) or every.get(told.partition("[")[0], "")
