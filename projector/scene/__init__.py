"""What to show now: primitives in table mm, made from snapshot, steps and table alone.

lines.py       how each kind of line looks, one row each
primitives.py  stroke, label, area, scene
text.py        words as shaped outlines
view.py        what of the table the light reaches
compose.py     snapshot + step + table -> scene
kept.py        the last few of what was made
"""
