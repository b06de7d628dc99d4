"""The style mixes that every set of bodies is drafted in."""

from typing import Any

DEFAULT: dict[str, Any] = {}
GOWN: dict[str, Any] = {"neck": "v", "neck_drop_mm": 40, "sleeve": "none", "skirt": "tapered", "taper_mm": 25, "length": "full"}
DARTS: dict[str, Any] = {
    "neck": "square", "princess": "none", "sleeve": "short", "skirt": "a_line", "flare_mm": 80, "zip": "side", "lining": False,
}  # fmt: skip
SHOULDER: dict[str, Any] = {"princess": "shoulder", "sleeve": "long", "facings": False, "back_neck_mm": 60}
CIRCLE: dict[str, Any] = {"neck": "boat", "neck_widen_mm": 60, "sleeve": "elbow", "skirt": "circle", "circle_turn": 0.75}
ROOMY: dict[str, Any] = {"sleeve": "long", "skirt": "a_line", "length": "full", "ease": "roomy", "lining": False}
CLOSE: dict[str, Any] = {"neck_drop_mm": 20, "sleeve": "none", "ease": "close", "fitted": True, "facings": True, "lining": False}
LONG: dict[str, Any] = {"sleeve": "long", "skirt": "straight"}
"""DRAFT section 7's own default: long sleeve, straight knee-length skirt."""

MIXES: dict[str, dict[str, Any]] = {
    "default": DEFAULT, "long": LONG, "gown": GOWN, "darts": DARTS, "shoulder": SHOULDER, "circle": CIRCLE, "roomy": ROOMY, "close": CLOSE,
}  # fmt: skip
