"""Large sets: totals per link and the nearest relations, against the full list of the same plan."""

from __future__ import annotations

import random
from collections import Counter
from pathlib import Path

import pytest

from planlint.facts import relations
from tests.plans import plan_of


def text(size: int, seed: int, written: str = "", others: int = 2) -> str:
    draw = random.Random(seed)
    carriers = [f"{500 + 0.025 * draw.randrange(400):.3f}" for _ in range(size)]
    lines = ["plan_format: 1", "kind: plan", *([written] if written else []), "spectrum:", "  others_on_air:"]
    lines += [f"    o{n}: {{carrier_mhz: {carrier}, kind: mic}}" for n, carrier in enumerate(carriers[:others])]
    lines += ["links:"]
    lines += [f"  e{n:02d}: {{kind: ear, carrier_mhz: {carrier}}}" for n, carrier in enumerate(carriers[others:])]
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("written", ["", "policy: {intermod_khz: {three_signal_third: 75, three_signal_fifth: 0}}"])
@pytest.mark.parametrize("seed", [1, 2])
def test_totals_and_the_nearest_equal_the_full_list(tmp_path: Path, seed: int, written: str) -> None:
    plan = plan_of(tmp_path, text(40, seed, written, others=4))
    carriers = {name: link.carrier_hz or 0 for name, link in plan.links.items()}
    carriers |= {name: other.carrier_hz or 0 for name, other in plan.others.items()}
    widths = dict.fromkeys(carriers, 200_000)
    everyone = (frozenset(carriers),)
    ours = frozenset(plan.links)
    full = [named for named in relations.find(plan, carriers, widths, everyone) if ours & set(named.ids)]
    found = relations.survey(plan, carriers, widths, everyone, ours)
    assert found.totals, "this set should have more relations than are listed"
    for kind in relations.KINDS:
        whole = [named for named in full if named.kind == kind]
        listed = [named for named in found.listed if named.kind == kind]
        if kind in found.totals:
            assert found.totals[kind] == len(whole) > relations.KEEP
            hits = Counter(name for named in whole for name in named.ids if name in ours)
            assert {name: number for name, number in found.per_id[kind].items() if number} == dict(hits)
            assert set(listed) <= set(whole)
            most = max(named.offset_hz for named in listed)
            assert {named for named in whole if named.offset_hz < most} <= set(listed)
        else:
            assert listed == whole


def test_a_small_set_is_listed_whole(tmp_path: Path) -> None:
    plan = plan_of(tmp_path, text(relations.FEW, 3, others=1))
    carriers = {name: link.carrier_hz or 0 for name, link in plan.links.items()}
    widths = dict.fromkeys(carriers, 200_000)
    found = relations.survey(plan, carriers, widths, (frozenset(carriers),), frozenset(carriers))
    assert found.totals == {}
    assert list(found.listed) == relations.find(plan, carriers, widths, (frozenset(carriers),))
