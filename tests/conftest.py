"""Before numpy is loaded: one thread a process, as the program itself runs (`calibration/__main__.py`, `projector/window/hints.py`).

The tests already run in one process a core. With more threads a joint solve of a second took half a minute on busy cores.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
