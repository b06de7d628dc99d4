"""`python -m projector`: see README.md; each command has --help."""

import sys

if __name__ != "__mp_main__":  # the window's process reads this file again and needs no command line: a tenth of a second
    from projector.commands.app import app as app
    from projector.commands.app import main as main

if __name__ == "__main__":
    sys.exit(main())
