"""One part whose loss takes two or more people's ears or microphones, and no word what to do then.

What goes wrong: the combiner's supply fails and everybody is deaf at once; who pulls which coax is worked out on stage.
Spares cannot always be had, a card in the rack can: `if_lost` says for each such part what to do. An antenna counts with
the box it is fed through.

Bad::

    plan_format: 1
    kind: plan
    models: {comb: {role: combiner}}
    people: {vox: {does: lead singer}, gtr: {does: guitar}}
    devices: {TX-1: {into: CMB}, TX-2: {into: CMB}, PK-1: {}, PK-2: {}, CMB: {model: comb}}
    links:
      ear-1: {kind: ear, tx: TX-1, packs: {PK-1: {person: vox}}}
      ear-2: {kind: ear, tx: TX-2, packs: {PK-2: {person: gtr}}}
    antennas: {ear-out: {for: ear, through: CMB}}
    if_lost: {}

Good::

    plan_format: 1
    kind: plan
    models: {comb: {role: combiner}}
    people: {vox: {does: lead singer}, gtr: {does: guitar}}
    devices: {TX-1: {into: CMB}, TX-2: {into: CMB}, PK-1: {}, PK-2: {}, CMB: {model: comb}}
    links:
      ear-1: {kind: ear, tx: TX-1, packs: {PK-1: {person: vox}}}
      ear-2: {kind: ear, tx: TX-2, packs: {PK-2: {person: gtr}}}
    antennas: {ear-out: {for: ear, through: CMB}}
    if_lost: {CMB: "pull 2 coax, fit 2 whips on TX-1 and TX-2"}

Source: every part taken away in turn; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.packs import worn
from planlint.facts.single_points import Gone, single_points, ways
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined, lacking_packs

RULE = Rule(severity="warning", group="margin", source="every part taken away in turn")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each part that takes two or more people along and has no card."""
    yield from lacking_packs(plan)
    if "if_lost" not in plan.values:
        yield Unchecked(("/if_lost",))
        return
    for way in ways(plan):
        if way.needs:
            yield Unchecked(way.needs, (way.link.id,))
    for link, pack in worn(plan):
        if pack.person is None and pack.stands_in_for is None:
            yield Unchecked((f"{pack.at}/person",), (link.id, pack.id))
    boxes = {_box(plan, loss.part) for loss in single_points(plan)}
    for every in single_points(plan):
        loss = _at_once(plan, facts, every)
        box = _box(plan, loss.part)
        if len(loss.people) < 2 or box in plan.section("if_lost"):
            continue
        if box == loss.part or box not in boxes:
            yield _fault(plan, loss)


def _at_once(plan: Plan, facts: Facts, loss: Gone) -> Gone:
    """Return what is lost at one time, where people are on one after the other: of the on-air sets, the worst."""
    here = [frozenset(loss.links) & ids for ids in facts.present]
    hit = [{person for name in ids for person in _users(plan.links[name])} & set(loss.people) for ids in here]
    most = max(hit, key=lambda people: (len(people), sorted(people)), default=set())
    return loss._replace(
        ears=tuple(person for person in loss.ears if person in most),
        mics=tuple(person for person in loss.mics if person in most),
    )


def _users(link: Link) -> Iterator[str]:
    yield from (link.person,) if link.person else ()
    yield from (pack.person for pack in link.packs if pack.person)


def _box(plan: Plan, part: str) -> str:
    """Return the box that an antenna is fed through; anything else stands for itself."""
    antenna = plan.section("antennas").get(part)
    return str(antenna.get("through", part)) if isinstance(antenna, dict) else part


def _fault(plan: Plan, loss: Gone) -> Fault:
    what = (
        [f"{joined(loss.ears)} lose their ears"]
        if len(loss.ears) > 1
        else [f"{one} loses the ears" for one in loss.ears]
    )
    what += (
        [f"{joined(loss.mics)} lose their microphones"]
        if len(loss.mics) > 1
        else [f"{one} loses the microphone" for one in loss.mics]
    )
    section = "antennas" if loss.part in plan.section("antennas") else "devices"
    return Fault(
        f"/{section}/{escape(loss.part)}",
        f"without {loss.part} {'; '.join(what)}, all at once, and no card says what to do. Write if_lost: {{{loss.part}: ...}}: who pulls "
        "which coax, which whip goes where, which spare is taken.",
        (loss.part, *loss.links),
        {"people": len(loss.people), "links": len(loss.links)},
        key=True,
        rank=-len(loss.people),
    )  # fmt: skip
