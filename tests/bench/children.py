"""Processor time of children, for benches of what runs in them."""

import resource


def children_s() -> float:
    """Seconds of processor of all children that have ended."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime
