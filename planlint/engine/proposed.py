"""A proposal as the file it would make: compared with what stands there, or written."""

from __future__ import annotations

from planlint.assign.proposal import Move
from planlint.diff.result import Difference
from planlint.diff.side import side
from planlint.engine.difference import difference
from planlint.engine.propose import Opened
from planlint.fix.carriers import Carrier, with_carriers
from planlint.fix.whole import write_whole
from planlint.plan import Shelf


def edited(opened: Opened, moves: tuple[Move, ...]) -> tuple[str, str]:
    """Return the file that holds the carriers, relative to the root, and its text with the moves made.

    Raises:
        NotWritableError: there is no place for them.
        OSError: the file cannot be read.
    """
    plan = opened.facts.plan
    homes = {opened.resolved.homes.get(plan.links[move.link].entry_at.split("/")[1], opened.file) for move in moves}
    file = homes.pop() if len(homes) == 1 else opened.file
    text = (opened.shelf.root / file).read_bytes().decode("utf-8")
    carriers = {move.link: Carrier(plan.links[move.link].entry_at, move.new_hz, move.stored) for move in moves}
    return file, with_carriers(text, file, carriers)


def write(opened: Opened, moves: tuple[Move, ...]) -> str:
    """Write the moves into the file that holds the carriers and return its name.

    Raises:
        NotWritableError: there is no place for them; nothing was changed.
        OSError: likewise.
    """
    file, text = edited(opened, moves)
    write_whole(opened.shelf.root / file, text)
    return file


def compared(opened: Opened, moves: tuple[Move, ...]) -> Difference:
    """Return what the moves change, whom they touch and what they bring; nothing is written.

    Raises:
        NotWritableError: the file has no place for them.
        OSError: a file cannot be read.
    """
    file, text = edited(opened, moves)
    proposed = Shelf(opened.shelf.root, {file: text.encode()})
    return difference(
        side(opened.shelf, opened.file, "what is written"), side(proposed, opened.file, "the proposal"), opened.config
    )
