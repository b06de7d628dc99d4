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

PUFF: dict[str, Any] = {"sleeve": "puff", "neck": "square", "skirt": "a_line", "facings": False, "lining": False}
FLARED: dict[str, Any] = {"sleeve": "flared", "peplum_mm": 160, "skirt": "none"}
FLUTTER: dict[str, Any] = {"sleeve": "flutter", "peplum_mm": 140, "fitted": True}
INSET: dict[str, Any] = {"neck": "v", "neck_drop_mm": 90, "inset": 70, "sleeve": "elbow", "ease": "close"}
OFF_SHOULDER: dict[str, Any] = {"sleeve": "off_shoulder", "skirt": "tapered"}
OFF_DARTS: dict[str, Any] = {"sleeve": "off_shoulder", "princess": "none", "lining": False, "zip": "side", "skirt": "a_line"}
SKIRT: dict[str, Any] = {"bodice": False, "skirt": "tapered", "zip": "back"}
DEEP_SQUARE: dict[str, Any] = {"neck": "square", "neck_drop_mm": 100, "neck_widen_mm": 40, "sleeve": "short"}
"""A wide deep neck, its facing and lining beside the princess seam."""

MIXES: dict[str, dict[str, Any]] = {
    "default": DEFAULT, "long": LONG, "gown": GOWN, "darts": DARTS, "shoulder": SHOULDER, "circle": CIRCLE, "roomy": ROOMY, "close": CLOSE,
    "puff": PUFF, "flared": FLARED, "flutter": FLUTTER, "inset": INSET, "skirt": SKIRT,
    "off shoulder": OFF_SHOULDER, "off darts": OFF_DARTS,
    "deep square": DEEP_SQUARE,
}  # fmt: skip
