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
    from datetime import date

    from calibration.command_line import print_json, print_note
    from calibration.errors import WrongInput
    from calibration.keep import keep, read_kept
    from calibration.made import made_by
    from calibration.names import unknown_name
    from calibration.yaml_reader import read_yaml, yaml_text
    from projector.book.groups import load_group, with_cut
    from projector.book.orders import found_file
    from projector.book.places import configs_folder
    from projector.group_jobs import cloth_words, sheet_of, tags_of, work_out
    from projector.paper.group_pdf import group_pdf, tags_pdf
    from projector.paper.lay_pdf import lay_pdf
    from projector.paper.svg import lay_svg

    if sheet not in ("a4", "letter"):
        raise unknown_name(sheet, ("a4", "letter"), "--sheet", "the paper")
    if cut:
        file = found_file(group, "groups", Path.cwd(), book, "the group")
        if configs_folder() in file.resolve().parents:
            raise WrongInput(f"{group} is a sample.", "Samples are not written to.", f"Take it into the book first: book add {file}")
        seen = read_kept(file).fingerprint
        keep(file, yaml_text(with_cut(read_yaml(file).data, cut, date.today().isoformat())), seen=seen)
    work = work_out(load_group(group, book), trials)
    if out:
        told = made_by(f"group {work.group.name}")
        files: dict[str, str | bytes] = {
            "group.pdf": group_pdf(sheet_of(work, f"{told.day}, version {told.version}"), sheet),
            "tags.pdf": tags_pdf(tags_of(work.ready), work.group.name, sheet),
        }
        if work.whole:
            title = f"{work.group.name}: how all the pieces lie"
            files |= {"lay.pdf": lay_pdf(work.whole, title), "lay.svg": lay_svg(work.whole, title)}
        for name, data in files.items():
            keep(out / name, data, versions_kept=0)
            print_note(f"{out / name}")
    for person in work.waiting:
        print_note(f"{person.name}: measure again before anything is laid. {' '.join(person.doubts)}")
    for words in cloth_words(work):
        print_note(words)
    if json:
        print_json(work.as_json())
