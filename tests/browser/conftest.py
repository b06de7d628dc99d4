"""Without a browser these tests are left out with one printed line; CI asks for them (REQUIRE_BROWSER, REQUIRE_SCREEN)."""

import os
import shutil

collect_ignore_glob: list[str] = []
if not (shutil.which("chromium") and shutil.which("chromedriver")) and not os.environ.get("REQUIRE_BROWSER"):
    print("No chromium and chromedriver here: the page's tests are left out.")
    collect_ignore_glob = ["test_*.py"]
elif not shutil.which("Xvfb") and not os.environ.get("REQUIRE_SCREEN"):
    print("No Xvfb here: the whole afternoon in the browser is left out.")
    collect_ignore_glob = ["test_afternoon.py"]
