"""Photographs of printed sheets in, a true map from table millimetres to projector pixels out.

A photograph's way (`calibrate.py` calls it, `solve.py` joins the middle):

photograph.py               the file: grey at full size, colours reduced, the phone's model and focal length
find.py                     ink alone and light alone; patches of chequers (saddles.py, lattice.py), known by their dots (codes.py)
rough.py                    plane maps: where each photograph was taken, each sheet lies, the light falls
fine.py, refine.py          every spot predicted, to hundredths of a px; those beside an edge of the other drawing dropped (edges.py)
joint.py                    one robust least squares of everything: unknowns.py (cameras.py, light.py), straight.py, least_squares.py
hang.py, lens_place.py      the frame hung on the light's lower edge; where the lamp's lens is
assemble.py                 the table, with what the taped bars say of its size (size.py)
judge.py                    is it good enough? else which photograph, which sheet, what to do
table.py, table_file.py     the map with its own error, and table.yaml

Later: size.py (the long line taped), spot_find.py, spot_solve.py, stuck.py, old_frame.py (spots stuck to the table), by_eye.py, bump.py
(crosses moved by keys), movement.py, watch.py (a fixed camera), flat_photo.py, outlines.py (things traced).
Printed: board.py, sheets.py, labels.py and who draws and writes them. Thrown: frame.py, fitted.py.
"""
