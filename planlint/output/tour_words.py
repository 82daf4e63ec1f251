"""Short words for rules, for the cells of a table."""

from __future__ import annotations

#: A cell's word for each rule that can close a carrier; a rule that is not here is told by its own name.
WORDS = {
    "occupied-tv-channel": "TV",
    "tv-edge-guard": "TV edge",
    "carrier-outside-band": "band",
    "band-edge-touch": "band",
    "reserved-service": "band",
    "land-mobile-shared": "shared",
    "licence-missing-for-power": "power",
    "eirp-over-limit": "power",
    "emission-too-wide": "width",
    "carrier-out-of-tuning": "tuning",
    "carrier-off-step": "step",
    "carrier-not-in-group": "group",
    "combiner-passband": "filter",
    "outside-block": "block",
    "others-on-air-collision": "others",
    "floor-over-usable": "floor",
    "scan-gap": "unseen",
    "same-carrier-twice": "near",
    "spacing-too-close": "near",
    "ears-near-mics-band": "ear-mic",
    "intermod-two-signal-third": "product",
    "intermod-three-signal-third": "product",
    "intermod-two-signal-fifth": "product",
    "intermod-three-signal-fifth": "product",
    "pinned": "pinned",
}
MEANINGS = {
    "TV": "a live TV channel",
    "TV edge": "nearer to a live TV channel than the guard",
    "band": "outside the region's bands, or in a closed one",
    "shared": "two-way radio of the town",
    "power": "its power needs a licence or is over the limit there",
    "width": "its emission is wider than the row allows",
    "tuning": "an end does not tune it",
    "step": "between an end's steps",
    "group": "not among the stored carriers",
    "filter": "a combiner or splitter does not pass it",
    "block": "outside the blocks allotted there",
    "others": "too near somebody else's carrier",
    "floor": "the scan's floor is over the usable level",
    "unseen": "no scan saw it",
    "near": "too near another of ours",
    "ear-mic": "ears and microphones too near each other",
    "product": "an intermodulation product",
    "pinned": "the venue's plan pins the link elsewhere",
}


def word(rules: tuple[str, ...]) -> str:
    """Return a cell's word: of the first rule, with a plus where there are more of another kind."""
    words = list(dict.fromkeys(WORDS.get(rule, rule) for rule in rules))
    return words[0] + ("+" if len(words) > 1 else "")
