"""One error family for both packages. Imports nothing.

    TableError            base: what happened, why (with numbers), what to do next
    ├── WrongInput        exit 2: what was typed, named or given cannot be used
    ├── Refused           exit 1: input was understood, the result is not good enough to hand over
    └── (anything else)   exit 70: a defect of ours

Stages derive their own from WrongInput or Refused. The same three sentences are shown on the table, the phone
and the command line.
"""

EXIT_DONE = 0
EXIT_REFUSED = 1
EXIT_WRONG_INPUT = 2
EXIT_DEFECT = 70


class TableError(Exception):
    """Base of everything told to the dressmaker."""

    exit_code = EXIT_DEFECT

    def __init__(self, what: str, why: str, next_step: str) -> None:
        super().__init__(what, why, next_step)  # all three, so that pickling between processes works
        self.what, self.why, self.next_step = what, why, next_step

    def __str__(self) -> str:
        return f"{self.what} {self.why} {self.next_step}"

    def as_json(self) -> dict[str, str]:
        """The `error` object of every --json output."""
        return {"what": self.what, "why": self.why, "next": self.next_step}


class WrongInput(TableError):
    """Something typed, named or handed over cannot be used as it is."""

    exit_code = EXIT_WRONG_INPUT

    def at(self, where: str) -> "WrongInput":
        """The same with the place it stands at before it: `anna.yaml, line 4, column 9: …`."""
        return WrongInput(f"{where}: {self.what}", self.why, self.next_step)


class Refused(TableError):
    """Understood, worked out, and not good enough: no result is handed over."""

    exit_code = EXIT_REFUSED
