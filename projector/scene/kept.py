"""What was made before and may be asked for again: the last few, by what they were made from."""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import TypeVar

K = TypeVar("K", bound=Hashable)
T = TypeVar("T")


def kept(store: "OrderedDict[K, T]", key: K, count: int, make: Callable[[], T]) -> T:
    """What was made for this key, or made now; of more than `count` the oldest are dropped.

    Keys made of id() are safe only where what is kept holds the very objects.
    """
    if key not in store:
        store[key] = make()
        while len(store) > count:
            store.popitem(last=False)
    store.move_to_end(key)
    return store[key]
