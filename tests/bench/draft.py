"""How long a draft takes, warm: `python -m tests.bench.draft`. Wanted: median at most 60 ms, worst of 260 at most 200 ms."""

from statistics import median
from time import perf_counter

from calibration.errors import TableError
from projector.api import pieces_for
from tests.published.bodies import scattered
from tests.published.styles import MIXES

WARM_UP = 5


def main() -> None:
    """Prints median, 95th percentile and worst for 260 women, per style."""
    cards = scattered()
    for name in ("default", "long", "gown", "circle"):
        for card in cards[:WARM_UP]:
            pieces_for(dict(card), MIXES[name])
        times_ms, refused = [], 0
        for card in cards:
            start = perf_counter()
            try:
                pieces_for(dict(card), MIXES[name])
            except TableError:
                refused += 1
            times_ms.append((perf_counter() - start) * 1000)
        times_ms.sort()
        print(
            f"{name:10s} median {median(times_ms):6.1f} ms   95 % {times_ms[int(0.95 * len(times_ms))]:6.1f} ms   "
            f"worst of {len(cards)} {times_ms[-1]:6.1f} ms   refused {refused}"
        )


if __name__ == "__main__":
    main()
