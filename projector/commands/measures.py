"""`python -m projector measures`: what is given, worked out, doubtful, and what stops the draft."""

from pathlib import Path
from typing import Annotated

import typer


def measures(
    card: Annotated[str, typer.Argument(help="a client's file, an order's file, or a client's name in the book")],
    json: Annotated[bool, typer.Option("--json", help="one JSON object on stdout")] = False,
    sleeve: Annotated[bool, typer.Option("--sleeve", help="ask for what a sleeve needs too")] = False,
    book: Annotated[Path | None, typer.Option("--book", help="the book's folder")] = None,
) -> int:
    """Check a client's measures: given, worked out, ask again, stop."""
    from calibration.command_line import print_json
    from calibration.errors import EXIT_DONE, EXIT_WRONG_INPUT
    from calibration.units import length_text
    from calibration.yaml_reader import read_card
    from projector.body.kinds import BY_KEY, STAND_IN_ERROR_MM
    from projector.book.orders import found_file, is_file_name, order_from, read_client

    file = Path(card) if is_file_name(card) else found_file(card, "clients", Path.cwd(), book, "the client")
    document = read_card(file)
    if "client" in document.data:
        order = order_from(document.data, file.stem, document, file.parent, book)
        client, body = order.client, order.body()
    else:
        client = read_client(file)
        body = client.body(needs_sleeve=sleeve)
    if json:
        told = {key: {"mm": round(each.mm, 3), "from": each.origin, "doubt": each.doubt} for key, each in body.measures.items()}
        print_json({"measures": told, "stop": [str(stop) for stop in body.stops]})
    else:
        print(f"{client.name}")
        for key, each in body.measures.items():
            mark = "  " if each.origin == "given" else "° "
            doubt = f"   ask again: {each.doubt}" if each.doubt and key not in {stop.key for stop in body.stops} else ""
            spread = STAND_IN_ERROR_MM.get(key) if each.origin == "stand_in" else None
            off = f", give or take {length_text(spread, client.shown)}" if spread else ""
            how = f"   ({BY_KEY[key].how}{off})" if each.origin == "stand_in" else ""
            print(f"  {mark}{BY_KEY[key].trade:<34}{length_text(each.mm, client.shown):>12}  {key}{how}{doubt}")
        print("  ° worked out, not measured (how it is taken, and how far off such a rule is)")
        for stop in body.stops:
            print(f"  STOP: {stop}")
    return EXIT_WRONG_INPUT if body.stops else EXIT_DONE
