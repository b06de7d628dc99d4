"""The snapshot as this screen may show it: a picture that is not true size, or a demonstration over a whole display, is STOP."""

from dataclasses import replace

from projector.session.snapshot import Snapshot
from projector.session.words import word
from projector.window.messages import Opened

DEMONSTRATION_TITLE = "demonstration: a computed table, nothing may be cut"


def as_shown(snapshot: Snapshot, opened: Opened) -> Snapshot:
    """Unchanged, or with state stop and the reason; the step is kept."""
    reason = ""
    if snapshot.table is not None and snapshot.table.size_px != opened.size:
        reason = word("wrong_display")
    elif snapshot.state == "demonstration" and opened.is_full:
        reason = word("demonstration_not_full")
    elif snapshot.state in ("check", "ready") and not opened.is_full:
        reason = word("wrong_display")
    return replace(snapshot, state="stop", stop_reason=reason) if reason else snapshot
