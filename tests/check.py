"""`python -m tests.check`: all that CI runs, pytest last so that its closing line ends the output.

--long adds the runs that take minutes; anything else on the command line goes to pytest.
"""

import subprocess
import sys


def _run(name: str, *command: str) -> None:
    print(f"== {name}", flush=True)
    done = subprocess.run([sys.executable, "-m", *command], check=False)
    if done.returncode:
        print(f"== {name}: not clean", flush=True)
        sys.exit(done.returncode)


def main(arguments: list[str]) -> None:
    """Format, lint, types, tests; stops at the first that is not clean."""
    is_long = "--long" in arguments
    rest = [argument for argument in arguments if argument != "--long"]
    _run("format", "ruff", "format", "--check", ".")
    _run("lint", "ruff", "check", ".")
    _run("types", "mypy")
    marker = [] if is_long else ["-m", "not long"]
    _run("tests", "pytest", "-n", "2", "--dist", "worksteal", *marker, *rest)


if __name__ == "__main__":
    main(sys.argv[1:])
