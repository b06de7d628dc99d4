"""What to show now: primitives in table mm, made from snapshot, steps and table alone.

compose.py     snapshot + step + table -> scene: the door, and the order in which the rest is asked
layer.py       one step's lines and labels, made once and moved often; occupied.py: where its words may lie
around.py      what stands around the work: step, title, layers, grid, crosses on table spots
states.py      STOP, CHECK WITH TAPE, READY, demonstration: each its own shape; the long line
modes.py       pictures other than a step (proof, align, spots, shadow, error, code, set-up); help.py: the keys
lines.py       how each kind of line looks, one row each
primitives.py  stroke, label, area, scene
shapes.py      crosses, rulers, arrow heads, words lying flat
text.py        words as shaped outlines
view.py        what of the table the light reaches, seen from where she stands
kept.py        the last few of what was made
step.py        one step as the window first shows it, for files
"""
