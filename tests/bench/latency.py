"""`python -m tests.bench.latency`. The runs stand in a file of their own: the window's process reads the main file again, and would
import what only the bench needs before it opens its window."""

if __name__ == "__main__":
    from tests.bench.latency_runs import main

    main()
