"""A transmitter fed from another's loop output that does not get what the plan says.

What goes wrong: a loop hands on the same signal. The second unit carries the first one's mix whatever the plan
says, at its own input gain, and nothing at all where the first one is not used.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-5: {}, TX-6: {}}
    mixes: {band: {width: stereo}}
    links:
      drums: {kind: ear, tx: TX-5, sends: stereo, feed: {stereo: band}, input_gain_db: 0}
      keys: {kind: ear, tx: TX-6, sends: stereo, feed: {stereo: band}, loop_from: TX-5, input_gain_db: 6}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-5: {}, TX-6: {}}
    mixes: {band: {width: stereo}}
    links:
      drums: {kind: ear, tx: TX-5, sends: stereo, feed: {stereo: band}, input_gain_db: 0}
      keys: {kind: ear, tx: TX-6, sends: stereo, feed: {stereo: band}, loop_from: TX-5, input_gain_db: 0}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import sender, text, value

RULE = Rule(severity="note", group="tidy", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each looped transmitter whose mix or input gain is not that of its source."""
    if not plan.links:
        yield Unchecked(("/links",))
    for name in sorted(plan.links):
        link = plan.links[name]
        if not link.used or "loop_from" not in link.spec:
            continue
        sources = [other for _, other in sorted(plan.links.items()) if other.tx == link.spec["loop_from"]]
        used = [other for other in sources if other.used and other.id != name]
        if not sources:
            yield Unchecked((f"{link.at}/loop_from",), (name,))
        elif not used:
            yield _dead(link)
        else:
            yield from _compare(link, used[0])


def _compare(link: Link, source: Link) -> Iterator[Fault | Unchecked]:
    who = _who(link, source)
    pair = f"{sender(link)} is fed from the loop of {sender(source)}"
    missing = tuple(f"{each.at}/feed" for each in (link, source) if each.feed is None)
    missing += tuple(f"{each.at}/input_gain_db" for each in (link, source) if "input_gain_db" not in each.spec)
    if missing:
        yield Unchecked(missing, who)
    if link.feed is not None and source.feed is not None and dict(link.feed) != dict(source.feed):
        theirs, ours = (", ".join(f"{key} {mix}" for key, mix in sorted(each.feed.items())) for each in (source, link)
                        if each.feed is not None)  # fmt: skip
        yield Fault(
            f"{link.at}/feed",
            f"{pair} and carries what that carries, {theirs}; the plan says {ours}. Run cables of its own from the desk, "
            "or write the same feed.",
            who,
            {"feed": ours, "loop_feed": theirs},
            (Mark(f"{source.at}/feed", f"what {sender(source)} is fed", key=True),),
            key=True,
        )
    gain, theirs_db = link.spec.get("input_gain_db"), source.spec.get("input_gain_db")
    if gain is not None and theirs_db is not None and gain != theirs_db:
        yield Fault(
            f"{link.at}/input_gain_db",
            f"{pair}: the same signal, but input gain {text(gain)} dB here and {text(theirs_db)} dB there, so one of the two "
            "is louder. Set the same input gain on both.",
            who,
            {"input_gain_db": value(gain), "loop_input_gain_db": value(theirs_db)},
            (Mark(f"{source.at}/input_gain_db", f"{sender(source)} stands at this"),),
        )


def _dead(link: Link) -> Fault:
    source = link.spec["loop_from"]
    return Fault(
        f"{link.at}/loop_from",
        f"{sender(link)} is fed from the loop of {source}, which carries no other link tonight: it gets nothing. Run "
        f"cables from the desk to {sender(link)}, or keep {source} patched and switched on.",
        _who(link, None),
        {"loop_from": source},
    )


def _who(link: Link, source: Link | None) -> tuple[str, ...]:
    names = [link.id, link.tx, *((source.id, source.tx) if source else (link.spec["loop_from"],))]
    return tuple(name for name in names if name)
