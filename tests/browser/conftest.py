"""Without a browser these tests are left out with one printed line; CI asks for them (REQUIRE_BROWSER)."""

import os
import shutil

collect_ignore_glob: list[str] = []
if not (shutil.which("chromium") and shutil.which("chromedriver")) and not os.environ.get("REQUIRE_BROWSER"):
    print("No chromium and chromedriver here: the page's tests are left out.")
    collect_ignore_glob = ["test_*.py"]
