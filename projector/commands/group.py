"""`python -m projector group`: several people, one style, one cloth."""

from pathlib import Path
from typing import Annotated

import typer


def group(
    group: Annotated[str, typer.Argument(help="a group's file, or its name in the book")],
    out: Annotated[Path | None, typer.Option("--out", help="folder for group.pdf, tags.pdf, lay.pdf, lay.svg; left out: only told")] = None,
    cut: Annotated[
        list[int] | None, typer.Option("--cut", help="number of someone whose dress is cut: marked today in the group's file")
    ] = None,
    sheet: Annotated[str, typer.Option("--sheet", help="a4 or letter")] = "a4",
    trials: Annotated[int, typer.Option("--trials", help="how many lays are tried for each", min=1)] = 200,
    book: Annotated[Path | None, typer.Option("--book", help="the book's folder")] = None,
    json: Annotated[bool, typer.Option("--json", help="one JSON object on stdout")] = False,
) -> None:
    """Who is measured, cut and fitted; cloth for each and for all together; numbered tags. Doubtful measures are not laid."""
    from calibration.command_line import print_json, print_note
    from calibration.keep import keep
    from projector.book.groups import load_group
    from projector.group_jobs import cloth_words, group_files, work_out
    from projector.paper.page import refuse_sheet

    refuse_sheet(sheet)
    if cut:
        _mark_cut(group, cut, book)
    work = work_out(load_group(group, book), trials)
    if out:
        for name, data in group_files(work, sheet):
            keep(out / name, data, versions_kept=0)
            print_note(f"{out / name}")
    for person in work.waiting:
        sure = "" if person.order.body().stops else " Taken again and right? Write `sure: true` beside her in the group's file."
        print_note(f"{person.name}: measure again before anything is laid. {' '.join(person.doubts)}{sure}")
    for words in cloth_words(work):
        print_note(words)
    if json:
        print_json(work.as_json())


def _mark_cut(group: str, cut: list[int], book: Path | None) -> None:
    """Write today's day beside these numbers in the group's file. Raises WrongInput for a sample or a number nobody has."""
    from datetime import date

    from calibration.errors import WrongInput
    from calibration.keep import keep, read_kept
    from calibration.yaml_reader import read_yaml
    from calibration.yaml_writer import with_comments, yaml_text
    from projector.book.book import document_text
    from projector.book.groups import with_cut
    from projector.book.orders import found_file
    from projector.book.places import configs_folder

    file = found_file(group, "groups", Path.cwd(), book, "the group")
    if configs_folder() in file.resolve().parents:
        raise WrongInput(f"{group} is a sample.", "Samples are not written to.", f"Take it into the book first: book add {file}")
    seen = read_kept(file).fingerprint
    text = yaml_text(with_cut(read_yaml(file).data, cut, date.today().isoformat()))
    keep(file, with_comments(text, document_text(file)), seen=seen)
