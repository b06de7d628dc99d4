"""The picture on the projector; the only place that imports pygame. Runs as a child process of its own.

hints.py     what SDL must be told before it starts
displays.py  what is plugged in, asked cheaply
screen.py    one opened display or framed window: true pixels or a refusal
keys.py      keys, presenter and pedal to commands
shown.py     the snapshot as this screen may show it
process.py   the loop: snapshots in, pictures out, keys back
link.py      the desk's end: starts it, talks to it, starts it again
"""
