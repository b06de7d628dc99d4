"""Without an X server for the window, the table of hostile requests is left out with one printed line; CI asks for it (REQUIRE_SCREEN)."""

import os
import shutil

collect_ignore: list[str] = []
if not shutil.which("Xvfb") and not os.environ.get("REQUIRE_SCREEN"):
    print("No Xvfb here: the hostile requests against the program itself are left out.")
    collect_ignore = ["test_hostile.py"]
