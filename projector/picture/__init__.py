"""Scene + table map -> array; OpenCV, no pygame.

cut.py       lines to the lit part, dashes, short pieces: in mm
strokes.py   thin passes, fixed point, parallel lines
letters.py   words and areas as coverage
light.py     colours as light, encoding
painter.py   draws it
step.py      one step for files: picture and record
"""
