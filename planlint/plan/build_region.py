"""Region data to typed rows."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from planlint.plan.model import Closed, Region, Row
from planlint.plan.quantity import to_hz
from planlint.plan.shelf import Shelf


def shipped_region(shelf: Shelf, region_id: str) -> Region | None:
    """Return a region that is part of planlint, or None."""
    judged = shelf.shipped_region(region_id)
    return None if judged is None else build_region(judged.values, judged.document.file)


def build_region(values: Mapping[str, Any], file: str) -> Region:
    """Build a region from the values of a region file, or of a plan that brings its own rows."""
    television = values.get("tv", {})
    return Region(
        id=str(values.get("region", "")),
        raster=television.get("raster"),
        first_channel=television.get("first_channel"),
        last_channel=television.get("last_channel"),
        rows=tuple(_row(name, row) for name, row in values.get("rows", {}).items() if _bounded(row)),
        closed=tuple(_closed(name, row) for name, row in values.get("closed", {}).items() if _bounded(row)),
        spec=values,
        file=file,
    )


def _bounded(row: Mapping[str, Any]) -> bool:
    return "low_mhz" in row and "high_mhz" in row


def _row(name: str, row: Mapping[str, Any]) -> Row:
    power, emission = row.get("power_mw"), row.get("max_emission_khz")
    return Row(
        id=name,
        low_hz=to_hz(row["low_mhz"], "mhz"),
        high_hz=to_hz(row["high_mhz"], "mhz"),
        licence_class=str(row.get("class", "")),
        power_mw=None if power is None else float(power),
        power_basis=row.get("power_basis"),
        max_emission_hz=None if emission is None else to_hz(emission, "khz"),
        status=row.get("status", {}),
        source=row.get("source", {}),
        spec=row,
    )


def _closed(name: str, row: Mapping[str, Any]) -> Closed:
    return Closed(
        id=name,
        low_hz=to_hz(row["low_mhz"], "mhz"),
        high_hz=to_hz(row["high_mhz"], "mhz"),
        why=str(row.get("why", "closed to this use")),
        status=row.get("status", {}),
        source=row.get("source", {}),
    )
