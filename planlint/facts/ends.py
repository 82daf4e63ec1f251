"""The units at the ends of a link: whoever must be set to its carrier."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, NamedTuple

from planlint.plan.model import Link, Model, Plan, Range

Job = Literal["transmitter", "receiver", "pack", "stands in", "listens"]


class End(NamedTuple):
    """A unit on a link: what it does there, its model if that is known, and where it is written."""

    device: str
    job: Job
    model: Model | None
    at: str


def ends(plan: Plan, link: Link) -> Iterator[End]:
    """Yield every known unit on a link: transmitter, receiver, packs, and packs elsewhere that listen to it."""
    written_as = "mic" if "mic" in link.spec and "tx" not in link.spec else "tx"
    places: tuple[tuple[str | None, Job, str], ...] = (
        (link.tx, "transmitter", f"{link.at}/{written_as}"),
        (link.rx, "receiver", f"{link.at}/rx"),
        *((pack.id, "stands in" if pack.stands_in_for else "pack", pack.at) for pack in link.packs),
        *(
            (pack.id, "listens", f"{pack.at}/listens_to")
            for other in plan.links.values()
            for pack in other.packs
            if pack.listens_to and link.id in pack.listens_to
        ),
    )
    seen = set()
    for device, job, at in places:
        known = plan.devices.get(device) if device else None
        if known is not None and known.id not in seen:
            seen.add(known.id)
            yield End(known.id, job, known.model, at)


def ranges_of(model: Model, carrier_hz: int) -> list[Range]:
    """Return the tuning ranges of a model that hold a carrier in Hz; where two touch, both do."""
    return [tuning for tuning in model.tuning if tuning.low_hz <= carrier_hz <= tuning.high_hz]
