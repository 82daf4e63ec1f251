"""The typed, immutable plan: every entity keeps the pointer to where it is written.

Carriers and widths are integer Hz; powers mW; distances m; levels as their keys say. None means unwritten.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, NamedTuple

Kind = Literal["ear", "mic", "comms", "other"]


class Range(NamedTuple):
    """A range of carriers in Hz, both ends included."""

    low_hz: int
    high_hz: int


class Model(NamedTuple):
    """What a type of unit can do. `spec` holds every key as written, for what has no field here."""

    id: str
    role: str | None
    tuning: tuple[Range, ...]
    step_hz: int | None
    emission_hz: int | None
    spec: Mapping[str, Any]
    at: str


class Device(NamedTuple):
    """A unit; `model` is the hired one where tonight's unit is hired."""

    id: str
    model_id: str | None
    model: Model | None
    hired: bool
    planned_model: Model | None
    rack: str | None
    spec: Mapping[str, Any]
    at: str


class Pack(NamedTuple):
    """A pack on a link with its settings: the defaults overlaid by its own."""

    id: str
    person: str | None
    stands_in_for: str | None
    listens_to: tuple[str, ...] | None
    settings: Mapping[str, Any]
    own: Mapping[str, Any]
    at: str


class Link(NamedTuple):
    """One carrier and both its ends.

    `carrier_hz` is None where it is unwritten, invalid or still to be assigned (`auto`), and where the units pick their
    own in the band `self_tuned`; `entry_at` points to what the show says about the link (the venue's entry, or the link
    itself in a plan). Links of one `wide_emission` share one transmission.
    """

    id: str
    kind: Kind | None
    carrier_hz: int | None
    carrier_written: Any
    auto: bool
    unused: str | None
    pinned: str | None
    power_mw: float | None
    stored: Mapping[str, str]
    tx: str | None
    rx: str | None
    packs: tuple[Pack, ...]
    person: str | None
    sends: str | None
    feed: Mapping[str, str] | None
    desk_in: int | None
    stands_in_for: str | None
    spec: Mapping[str, Any]
    at: str
    entry_at: str
    listed: bool
    wide_emission: str | None = None
    self_tuned: str | None = None
    takes_channels: int | None = None

    @property
    def carrier_at(self) -> str:
        """The pointer to the carrier."""
        return f"{self.entry_at}/carrier_mhz"

    @property
    def used(self) -> bool:
        """Whether the link is used tonight."""
        return self.unused is None

    @property
    def wants_carrier(self) -> bool:
        """Whether the link is used tonight on a carrier of ours: its units do not pick their own."""
        return self.unused is None and (self.self_tuned is None or self.carrier_hz is not None)


class Other(NamedTuple):
    """Somebody else's carrier: house, guests, crews. Times are minutes since midnight of the show's date.

    Where its own times are unwritten, those of the act that holds it are taken.
    """

    id: str
    kind: Kind | None
    carrier_hz: int | None
    emission_hz: int | None
    who: str | None
    may_move: bool | None
    start_min: int | None
    end_min: int | None
    power_mw: float | None
    spec: Mapping[str, Any]
    at: str
    self_tuned: str | None = None
    takes_channels: int | None = None

    @property
    def carrier_at(self) -> str:
        """The pointer to the carrier."""
        return f"{self.at}/carrier_mhz"


class Spare(NamedTuple):
    """A spare carrier kept for a kind of link."""

    kind: Kind
    carrier_hz: int
    at: str


class DayEntry(NamedTuple):
    """An entry of the day: half-open [start, end) in minutes since midnight of the show's date."""

    what: str
    start_min: int
    end_min: int | None
    written_until: bool
    on_air: tuple[str, ...] | Literal["all"] | None
    units: tuple[str, ...] | Literal["all"] | None
    at: str
    scenes: tuple[str, ...] | None = None


class Scene(NamedTuple):
    """A scene of the show, in written order, and who is on in it."""

    name: str
    on_air: tuple[str, ...] | Literal["all"]
    at: str


class Act(NamedTuple):
    """An act of a festival; times are minutes since midnight of the show's date and run on past midnight.

    Attributes:
        id: the act.
        stage: its stage, or None.
        holds: ids of its links and of others on the air, sorted.
        on_min: from when its transmitters may be on: its line check, else its set; None where neither is written.
        start_min: when its set begins, or None.
        end_min: when it is off the air, or None.
        spec: as written.
        at: pointer to it.
    """

    id: str
    stage: str | None
    holds: tuple[str, ...]
    on_min: int | None
    start_min: int | None
    end_min: int | None
    spec: Mapping[str, Any]
    at: str

    @property
    def on_at(self) -> str:
        """The pointer to when it goes on the air."""
        return f"{self.at}/{'line_check' if 'line_check' in self.spec else 'at'}"


class Waiver(NamedTuple):
    """An accepted fault; `file` is where it is written."""

    rule: str | None
    covers: tuple[str, ...]
    because: str | None
    by: str | None
    until: str | None
    accept: Mapping[str, Any]
    by_route: str | None
    at: str


class Row(NamedTuple):
    """A permission of a region: who may use which band how."""

    id: str
    low_hz: int
    high_hz: int
    licence_class: str
    power_mw: float | None
    power_basis: str | None
    max_emission_hz: int | None
    status: Mapping[str, str]
    source: Mapping[str, Any]
    spec: Mapping[str, Any]


class Closed(NamedTuple):
    """Spectrum that a region closes to this use."""

    id: str
    low_hz: int
    high_hz: int
    why: str
    status: Mapping[str, str]
    source: Mapping[str, Any]


class Region(NamedTuple):
    """What a country's rules allow, as data."""

    id: str
    raster: str | None
    first_channel: int | None
    last_channel: int | None
    rows: tuple[Row, ...]
    closed: tuple[Closed, ...]
    spec: Mapping[str, Any]
    file: str


class Reference(NamedTuple):
    """A mention of an id: where, which, and the namespaces it may come from."""

    at: str
    id: str
    spaces: tuple[str, ...]
    key: bool


class Plan(NamedTuple):
    """Everything known about one show, resolved; `values` holds every section as written.

    `ids` maps a namespace (`links`, `others_on_air`, `devices`, `antennas`, `racks`, `people`, `mixes`,
    `earphones`, `groups`, `models`, `scans`, `licences`, `regions`, `scenes`, `duties`, `self_tuning_bands`) to its ids.
    """

    file: str
    kind: str
    values: Mapping[str, Any]
    show: Mapping[str, Any]
    region_id: str | None
    region_at: str
    region: Region | None
    models: Mapping[str, Model]
    devices: Mapping[str, Device]
    links: Mapping[str, Link]
    others: Mapping[str, Other]
    spares: tuple[Spare, ...]
    day: tuple[DayEntry, ...]
    acts: tuple[Act, ...]
    waivers: tuple[Waiver, ...]
    references: tuple[Reference, ...]
    ids: Mapping[str, frozenset[str]]
    scenes: tuple[Scene, ...] = ()

    @property
    def date(self) -> str | None:
        """The show's date as written, `YYYY-MM-DD`."""
        date = self.show.get("date")
        return date if isinstance(date, str) else None

    def section(self, key: str) -> Mapping[str, Any]:
        """Return a section that is a map, or an empty map where it is unwritten."""
        value = self.values.get(key)
        return value if isinstance(value, dict) else {}
