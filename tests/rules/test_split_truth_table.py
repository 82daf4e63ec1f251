"""Split pairs against an independent truth table and a small model of what each ear hears; counts of mixes.

The table is common practice, no source: one transmitter sends stereo, one person's mix on its left input and the
other's on its right; each pack decodes stereo, feeds both ears mono, and has its balance fully to its side.
The model is closed form: amplitudes through transmitter, decoder, balance (linear law) and ear feed.
"""

import math
from functools import cache
from itertools import product
from pathlib import Path
from typing import NamedTuple

import pytest

from planlint.finding import Finding
from tests.rules.case_files import run

MODES = ("stereo", "mono")
BALANCES_PCT = (-100, -90, 0, 90, 100)
SOCKETS = ("left", "right")


class Setting(NamedTuple):
    sends: str
    decodes: str
    ear_feed: str
    balance_pct: float
    socket: str


ALL = [Setting(*words) for words in product(MODES, MODES, MODES, BALANCES_PCT, SOCKETS)]

#: Common practice, no source: the only combination that works, for each input of the transmitter.
WORKS = {
    "left": Setting("stereo", "stereo", "mono", -100, "left"),
    "right": Setting("stereo", "stereo", "mono", 100, "right"),
}


class Heard(NamedTuple):
    """Amplitudes of the wearer's own and of the neighbour's mix in each ear; each mix goes in at 1."""

    own: tuple[float, float]
    neighbour: tuple[float, float]


def heard(setting: Setting) -> Heard:
    def ears(left: float, right: float) -> tuple[float, float]:
        if setting.sends == "mono" or setting.decodes == "mono":
            left = right = (left + right) / 2
        left *= 1 - max(setting.balance_pct, 0) / 100
        right *= 1 - max(-setting.balance_pct, 0) / 100
        return (left + right, left + right) if setting.ear_feed == "mono" else (left, right)

    mine = (1.0, 0.0) if setting.socket == "left" else (0.0, 1.0)
    return Heard(ears(*mine), ears(*reversed(mine)))


def works(setting: Setting) -> bool:
    """The wearer has the whole of the own mix in both ears, and nothing of the neighbour's."""
    own, neighbour = heard(setting)
    return own == (1.0, 1.0) and neighbour == (0.0, 0.0)


def plan(setting: Setting, *, crossed: bool = False, width: str = "mono") -> str:
    """A split pair: one person's pack as given, the other's set rightly for the other input."""
    far, end = ("right", 100) if setting.socket == "left" else ("left", -100)
    mine, theirs = (far, setting.socket) if crossed else (setting.socket, far)
    return f"""\
plan_format: 1
kind: plan
people: {{guest-a: {{}}, guest-b: {{}}}}
devices: {{TX-7: {{}}, TX-8: {{}}, PK-A: {{}}, PK-B: {{}}, PK-C: {{}}}}
mixes: {{g-a: {{for: guest-a, width: {width}}}, g-b: {{for: guest-b, width: mono}}}}
pack_defaults: {{limiter_db: -15, gain_db: 0}}
links:
  duo:
    kind: ear
    tx: TX-7
    sends: {setting.sends}
    feed: {{{mine}: g-a, {theirs}: g-b}}
    packs:
      PK-A:
        person: guest-a
        decodes: {setting.decodes}
        ear_feed: {setting.ear_feed}
        balance_pct: {setting.balance_pct}
      PK-B: {{person: guest-b, decodes: stereo, ear_feed: mono, balance_pct: {end}}}
  own: {{kind: ear, tx: TX-8, sends: stereo, feed: {{stereo: g-a}}, packs: {{PK-C: {{decodes: stereo, ear_feed: stereo}}}}}}
"""


def errors(text: str, folder: Path) -> list[Finding]:
    return [finding for finding in run(text, folder).findings if finding.severity == "error"]


def test_the_model_knows_one_way_for_each_input() -> None:
    for socket in SOCKETS:
        assert [setting for setting in ALL if setting.socket == socket and works(setting)] == [WORKS[socket]]


@pytest.mark.parametrize(
    "setting", ALL, ids=lambda s: f"{s.sends}-{s.decodes}-{s.ear_feed}{s.balance_pct:+}-{s.socket}"
)
def test_the_rules_agree_with_what_is_heard(setting: Setting, tmp_path: Path) -> None:
    found = errors(plan(setting), tmp_path)
    assert (found == []) is works(setting) is (setting == WORKS[setting.socket])
    assert all("duo" in finding.subjects for finding in found)


@pytest.mark.parametrize("socket", SOCKETS)
def test_each_departure_is_one_finding_of_its_own_rule(socket: str, tmp_path: Path) -> None:
    right = WORKS[socket]
    table = {
        "split-needs-stereo-tx": [plan(right._replace(sends="mono"))],
        "decode-mismatch": [plan(right._replace(decodes="mono"))],
        "split-pack-not-mono-feed": [plan(right._replace(ear_feed="stereo"))],
        "split-balance-not-full": [
            plan(right._replace(balance_pct=right.balance_pct * turned)) for turned in (0, 0.9, 0.99)
        ],
        "split-same-side-twice": [plan(right._replace(balance_pct=-right.balance_pct))],
        "split-sides-swapped": [plan(right, crossed=True)],
        "split-with-stereo-mix": [plan(right, width="stereo")],
    }
    for rule, texts in table.items():
        for number, text in enumerate(texts):
            assert [finding.rule for finding in errors(text, tmp_path / f"{rule}-{number}")] == [rule]


@pytest.mark.parametrize(
    ("turned_pct", "leak_db"), [(99, -40.0), (90, -20.0), (75, -12.0), (50, -6.0), (20, -1.9), (0, 0.0)]
)
def test_the_leak_of_a_balance_short_of_its_end(turned_pct: int, leak_db: float, tmp_path: Path) -> None:
    """Closed form under the linear law: 20*log10((100 - |b|)/100), rounded to 0.1 dB; and the model's own ratio."""
    for socket, sign in (("left", -1), ("right", 1)):
        setting = WORKS[socket]._replace(balance_pct=sign * turned_pct)
        (finding,) = errors(plan(setting), tmp_path / socket)
        assert finding.values["leak_db"] == leak_db
        own, neighbour = heard(setting)
        assert 20 * math.log10(neighbour[0] / own[0]) == pytest.approx(leak_db, abs=0.05)


# ------------------------------------------------------------------------------------- count of mixes


@cache
def least(stereo: int, mono: int) -> int:
    """The fewest transmitters of two inputs for so many mixes, by trying what the first of them takes."""
    takes = [(1, 0), (0, 2), (0, 1)]
    rest = [(stereo - s, mono - m) for s, m in takes if s <= stereo and m <= mono]
    return 1 + min(least(*left) for left in rest) if rest else 0


def too_many(stereo: int, mono: int, transmitters: int, folder: Path) -> bool:
    mixes = [f"s{n}: {{width: stereo}}" for n in range(stereo)] + [f"m{n}: {{width: mono}}" for n in range(mono)]
    devices = [f"TX-{n}: {{model: tx-w}}" for n in range(transmitters)]
    report = run(
        "plan_format: 1\nkind: plan\nmodels: {tx-w: {role: ear-transmitter}}\n"
        f"devices: {{{', '.join(devices)}}}\nmixes: {{{', '.join(mixes)}}}\n",
        folder,
    )
    assert "too-many-mixes" in report.ran
    return any(finding.rule == "too-many-mixes" for finding in report.findings)


@pytest.mark.parametrize("stereo", range(5))
def test_the_count_of_transmitters_against_a_search(stereo: int, tmp_path: Path) -> None:
    for mono in range(8):
        enough = least(stereo, mono)
        assert not too_many(stereo, mono, max(enough, 1), tmp_path / f"{mono}")
        if enough > 1:
            assert too_many(stereo, mono, enough - 1, tmp_path / f"{mono}-short")


@pytest.mark.parametrize(("transmitters", "stereo", "mono"), [(4, 4, 8), (8, 8, 16)])
def test_the_count_of_transmitters_in_practice(transmitters: int, stereo: int, mono: int, tmp_path: Path) -> None:
    """Four transmitters carry 4 stereo or 8 mono mixes, eight 8 or 16: common practice, no source."""
    assert not too_many(stereo, 0, transmitters, tmp_path / "stereo")
    assert not too_many(0, mono, transmitters, tmp_path / "mono")
    assert too_many(stereo, 1, transmitters, tmp_path / "one-more-on-stereo")
    assert too_many(0, mono + 1, transmitters, tmp_path / "one-more-mono")
