"""An unknown name is answered with the nearest known one. For both packages; imports only the error family."""

from collections.abc import Iterable
from difflib import get_close_matches

from calibration.errors import WrongInput


def nearest(name: str, known: Iterable[str]) -> str | None:
    """The known name most like `name`, or None when nothing is near."""
    by_lower = {each.lower(): each for each in known}
    close = get_close_matches(name.lower(), by_lower, n=1, cutoff=0.5)
    return by_lower[close[0]] if close else None


def unknown_name(name: str, known: Iterable[str], where: str, called: str = "the name") -> WrongInput:
    """The error for a name that is not known, with the nearest one offered."""
    names = list(known)
    near = nearest(name, names)
    advice = f"Did you mean `{near}`?" if near else "Take one of these."
    return WrongInput(f"{where}: {called} {name!r} is not known.", f"Known are {', '.join(names)}.", advice)
