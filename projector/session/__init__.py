"""The live state: command(snapshot) -> snapshot or refusal; no files, no screen.

snapshot.py   what is shown now: one frozen record, sent whole to the window and the phone
commands.py   everything that can be asked, grouped as she thinks of it, with its keys
change.py     apply(snapshot, work, command) -> snapshot, or a refusal in three sentences
by_hand.py    the lay in her hand before it is put on the table: the same commands, its own undo
words.py      every word shown on the table, one file per language
"""
