"""What a unit's model says in the mode that its link is run in: digital units have several, each with its own width."""

from __future__ import annotations

from typing import Any

from planlint.plan.model import Link, Model


def in_mode(model: Model, link: Link, key: str) -> Any:
    """Return what a model says under a key in a link's mode, else what it says for all modes, or None."""
    mode = model.spec.get("modes", {}).get(link.spec.get("mode", ""), {})
    return mode.get(key, model.spec.get(key))


def needs_ci_db(model: Model, link: Link, audio: str | None) -> float | None:
    """Return the carrier-to-interference ratio in dB that a unit needs for stereo or mono, or None."""
    needs = in_mode(model, link, "needs_ci_db") or {}
    value = needs.get(audio) if audio else None
    return None if value is None else float(value)
