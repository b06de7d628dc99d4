"""Scene + table map -> array; OpenCV, no pygame.

painter.py   draws it: what stands still is kept, what lies on the cloth is put where it lies
lying.py     what lies on the cloth, made ready once, turned and shifted for each picture
cut.py       lines to the lit part, dashes, short pieces: in mm
passes.py    lines of one look together, in buffers that OpenCV takes
strokes.py   thin passes, fixed point, parallel lines
letters.py   words and areas as coverage
light.py     colours as light, encoding
step.py      one step for files: picture and record
"""
