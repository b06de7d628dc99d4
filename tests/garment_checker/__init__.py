"""An independent check of pieces.json: numpy and shapely only, not a line shared with projector.

Written from DESIGN section 5 (the contract of pieces.json) and DRAFT section 7 (P01 to P23) before the drafts existed.
"""
