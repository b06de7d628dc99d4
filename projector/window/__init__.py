"""The picture on the projector; the only place that imports pygame. Runs as a child process of its own.

hints.py     what SDL must be told before it starts
displays.py  what is plugged in, asked cheaply
screen.py    one opened display or framed window: true pixels or a refusal
keys.py      keys, presenter and pedal to commands
shown.py     the snapshot as this screen may show it
messages.py  what desk and window say to each other
link.py      the desk's end: starts the process, talks to it
process.py   the process: waits for messages, keys and display changes
loop.py      what it holds: the last snapshot, scenes, painter; a message becomes a flip
numbers.py   each display's own number, large
"""
