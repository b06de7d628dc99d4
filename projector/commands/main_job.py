"""`python -m projector`: the main job on the sample order. With a display a framed demonstration; without, files in out/."""

from pathlib import Path

SAMPLE = "sample.yaml"
OUT = Path("out")


def main_job(serve_page: bool = False) -> None:
    """With a display: the demonstration in a framed window, the page, an offer to calibrate. Without: files, and exit 0."""
    from calibration.command_line import print_note
    from projector.book.places import configs_folder
    from projector.window.displays import displays

    order = configs_folder() / "orders" / SAMPLE
    if displays().rects:
        print_note("A framed demonstration; nothing may be cut by it. To calibrate your own table, see `python -m calibration --help`.")
        _show(order, None)
        return
    print_note(f"There is no display here, so the sample order is written to {OUT}/.")
    write_all(order, OUT)
    if serve_page:
        _show(order, False)


def _show(order: Path, window: bool | None) -> None:
    from calibration.command_line import print_note
    from projector.desk.start import Showing, show_order

    show_order(
        Showing(str(order), window=window, is_kept=False), lambda url, _: print_note(f"The page is at {url}  Ctrl-C ends it."), print_note
    )


def write_all(order: Path, out: Path) -> None:
    """Steps with pictures on the demonstration table, lay, pieces and papers of one order. Raises what its stages raise."""
    from calibration.command_line import print_note
    from calibration.keep import keep
    from calibration.table import Table
    from projector.book.orders import load_order
    from projector.making import make
    from projector.paper_jobs import KINDS, papers_of
    from projector.scene.view import lay_light
    from projector.step_jobs import DEMONSTRATION_PX, cut_of, write_steps

    table = Table.demonstration(DEMONSTRATION_PX)
    made = make(load_order(str(order)), light=lay_light(table))
    count = write_steps(cut_of(made.order, made.garment, made.lay), table, None, out / "steps")
    print_note(f"{out / 'steps'}: {count} steps, lay.json, pieces.json")
    for name, data in papers_of(made.order, made.garment, made, KINDS, "a4"):
        keep(out / "papers" / name, data, versions_kept=0)
        print_note(f"{out / 'papers' / name}")
