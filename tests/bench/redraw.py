"""How soon the page shows a changed measure or choice: `python -m tests.bench.redraw` prints medians over a warm worker, ms.

Goal: 300 ms from the number typed to the drawing told. Sixty ms of it the page waits for more typing (dress.js).
"""

import asyncio
import json
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter, process_time
from typing import Any

from projector.book.orders import load_order
from projector.desk.worker import Worker

TIMES = 30
PAGE_WAITS_MS = 60.0
DRESSES: dict[str, dict[str, Any]] = {
    "plain": {"lining": False, "skirt": "tapered"},
    "whole": {"sleeve": "long", "skirt": "straight"},
}
ARM = {"upper_arm": "290 mm", "wrist": "165 mm"}


def order(turn: int, style: dict[str, Any]) -> dict[str, Any]:
    """Each time another bust, so that nothing can be remembered."""
    card = load_order("tomasina_plain").client.card
    measures = {**ARM, **{key: str(value) for key, value in card.measures.items()}, "bust": f"{920 + turn} mm"}
    client = {"name": "changed", "unit": card.unit, "lengths_from": card.lengths_from, "measures": measures}
    return {"client": client, "style": style}


async def redraws(worker: Worker, book: Path, style: dict[str, Any]) -> list[float]:
    """ms from the request to the drawing told, through the worker's process."""
    took = []
    for turn in range(TIMES):
        asked = {"order": order(turn, style), "book": book}
        begun = perf_counter()
        told = await worker.run("look", asked)
        json.dumps(told)
        took.append(1000.0 * (perf_counter() - begun))
    return took


def computed(book: Path, style: dict[str, Any]) -> list[float]:
    """ms of computing alone, which other programs on the machine do not lengthen much."""
    from projector.desk.page_tasks import look

    took = []
    for turn in range(TIMES):
        begun = process_time()
        look(order(turn, style), book)
        took.append(1000.0 * (process_time() - begun))
    return took


async def main() -> None:
    worker = Worker()
    with TemporaryDirectory() as folder:
        begun = perf_counter()
        await worker.run("ready", {})
        print(f"worker ready after {perf_counter() - begun:.1f} s")
        for name, style in DRESSES.items():
            took = sorted(await redraws(worker, Path(folder), style))
            high = took[int(0.95 * len(took))]
            alone = median(computed(Path(folder), style))
            print(f"{name}: median {median(took):.0f} ms, 95 % {high:.0f} ms, computing {alone:.0f} ms; the page waits {PAGE_WAITS_MS:.0f}")
    await worker.close()


if __name__ == "__main__":
    asyncio.run(main())
