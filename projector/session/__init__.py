"""The live state: command(snapshot) -> snapshot or refusal; no files, no screen.

snapshot.py   what is shown now: one frozen record, sent whole to the window and the phone
commands.py   everything that can be asked, grouped as she thinks of it, with its keys
change.py     apply(snapshot, work, command) -> snapshot, or a refusal in three sentences
by_hand.py    the lay in her hand before it is put on the table: the same commands, its own undo
place.py      where the cloth lies: moving, turning, two points, pulling along
work.py       from an order's lay and steps to what the commands act on
summary.py    a calibrated table in the few numbers that a snapshot carries
keys.py       which key asks for what, checked before any window is there
words.py      the words that stand around a step on the table
"""
