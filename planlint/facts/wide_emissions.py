"""Links that share one wide emission: one transmission, one carrier, one contributor to every product.

In everything that counts carriers, one link stands for all of its emission: the first by id that has a carrier, used
tonight. It is on the air whenever any of them is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from planlint.facts.chain import model_at
from planlint.facts.modes import in_mode
from planlint.plan.model import Link, Plan


class Emission(NamedTuple):
    """A wide emission and its links used tonight, by id."""

    name: str
    links: tuple[Link, ...]

    @property
    def leader(self) -> Link:
        """The link that stands for all of them: the first with a carrier, else the first."""
        return next((link for link in self.links if link.carrier_hz is not None), self.links[0])

    @property
    def ids(self) -> tuple[str, ...]:
        """The ids of its links."""
        return tuple(link.id for link in self.links)


class Carries(NamedTuple):
    """How many links a unit puts into one emission, None where that is unwritten, and where it is written or belongs."""

    links: int | None
    at: str


def emissions(plan: Plan) -> tuple[Emission, ...]:
    """Return the wide emissions of a plan with a link that is used tonight, by name."""
    found: dict[str, list[Link]] = {}
    for name in sorted(plan.links):
        link = plan.links[name]
        if link.used and link.wide_emission is not None:
            found.setdefault(link.wide_emission, []).append(link)
    return tuple(Emission(name, tuple(found[name])) for name in sorted(found))


def leaders(plan: Plan) -> dict[str, str]:
    """Return for each link of a wide emission the one that stands for it."""
    return {link.id: emission.leader.id for emission in emissions(plan) for link in emission.links}


def one_for_all(leader_of: dict[str, str], ids: Iterable[str]) -> frozenset[str]:
    """Return ids with one in place of all links of each wide emission."""
    return frozenset(leader_of.get(name, name) for name in ids)


def share(plan: Plan, first: str, second: str) -> bool:
    """Say whether two links are carried by one wide emission."""
    one, other = plan.links.get(first), plan.links.get(second)
    return (
        one is not None
        and other is not None
        and one.wide_emission is not None
        and one.wide_emission == other.wide_emission
    )


def units_of_all(emission: Emission) -> tuple[frozenset[str], tuple[Link, ...]]:
    """Return the units that stand at the end of every link of an emission, and the links of which no unit is written.

    A transmitter may send several mixes, a receiver take several microphones; a unit may do both.
    """
    bare = tuple(link for link in emission.links if not _bases(link))
    known = [_bases(link) for link in emission.links if _bases(link)]
    return (frozenset.intersection(*known) if known else frozenset()), bare


def carries(plan: Plan, emission: Emission) -> Carries:
    """Return how many links the unit at the end of all of them puts into one emission, in the emission's mode."""
    common, _ = units_of_all(emission)
    lead = emission.leader
    for unit in sorted(common):
        device = plan.devices.get(unit)
        if device is None or device.model is None:
            return Carries(None, model_at(device) if device else f"/devices/{unit}")
        count = in_mode(device.model, lead, "carries_links")
        mode = lead.spec.get("mode")
        at = f"{device.model.at}/modes/{mode}" if mode in device.model.spec.get("modes", {}) else device.model.at
        return Carries(None if count is None else int(count), f"{at}/carries_links")
    return Carries(None, f"{lead.at}/{'rx' if lead.kind == 'mic' else 'tx'}")


def _bases(link: Link) -> frozenset[str]:
    return frozenset(unit for unit in (link.tx, link.rx) if unit is not None)


def differing(emission: Emission) -> Iterator[tuple[Link, str, object, object]]:
    """Yield each link and key in which it differs from the emission's leader, with both values; both are written."""
    lead = emission.leader
    for link in emission.links:
        pairs = (
            ("carrier_mhz", link.carrier_hz, lead.carrier_hz),
            ("power_mw", link.power_mw, lead.power_mw),
            ("mode", link.spec.get("mode"), lead.spec.get("mode")),
        )
        for key, own, leads in pairs:
            if own is not None and leads is not None and own != leads:
                yield link, key, own, leads
