"""A scan file that is not what a scan file is: decimal commas, other units, unsorted or repeated points.

What goes wrong: read by guesswork, half a scan looks like a quiet town. The file is CSV with the one header line
`freq_mhz,level_dbm`, decimal points, frequencies rising, levels in dBm. Nothing of a file with a fault is used. Each
kind of fault is shown once, at its first line.

Bad::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    scans: {stage: {file: stage.csv, for: ear}}
    # file: stage.csv
    freq_mhz,level_dbm
    541.8,-101.5
    541,9,-102.0

Good::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    scans: {stage: {file: stage.csv, for: ear}}
    # file: stage.csv
    freq_mhz,level_dbm
    541.8,-101.5
    541.9,-102.0

Source: the plan format; dBuV to dBm in 50 ohm from the definition of both units.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.scan import Scan
from planlint.facts.scan_csv import HEADER, HIGH_DBM, HIGH_MHZ, LOW_DBM, LOW_MHZ, MAX_LINE, Flaw, Reading
from planlint.finding import Fault, Mark, Place, Unchecked
from planlint.plan import Plan
from planlint.rf.decibel import dbm_to_dbuv
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="error", group="file", source="the plan format", waivable=False)

_SHOWN = 40
_FIXES = {
    "encoding": "save the file as plain CSV in UTF-8",
    "header": f"make the first line {HEADER}",
    "no-header": f"write {HEADER} above the first row",
    "comma": "write decimal points: 541.9",
    "separator": "put one comma between frequency and level",
    "fields": "write one frequency and one level a line, with one comma between",
    "number": "write a plain number",
    "frequency": "write frequencies in MHz",
    "level": "write levels in dBm",
    "unsorted": "sort the rows by frequency",
    "repeated": "keep one row for each frequency, the higher level",
    "long-line": "save the file with one row a line",
    "empty": "export the scan again",
}


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for the first of each kind of flaw in each scan file."""
    if "scans" not in plan.values:
        yield Unchecked(("/scans",))
    for scan in facts.scans.all:
        if scan.file is None or scan.file.lost:
            yield Unchecked((scan.key_at("file"),), (scan.id,))
            continue
        reading = scan.file.reading
        for flaw in reading.flaws:
            yield _fault(scan, scan.file.file, flaw, reading)


def _fault(scan: Scan, file: str, flaw: Flaw, reading: Reading) -> Fault:
    place = Place(file, flaw.line, flaw.column, flaw.line, flaw.end_column, "") if flaw.line else None
    where = f"Line {flaw.line}: " if flaw.line else f"{file}: "
    return Fault(
        scan.key_at("file"),
        f"{where}{_what(flaw)}{_more(flaw, reading)}. Nothing of this scan was used: no floor, gap or TV channel was judged "
        "by it.",
        (),
        {"file": file, "flaw": flaw.kind, "line": flaw.line, "more_lines": flaw.more},
        (Mark(scan.key_at("file"), "the scan is named here"),) if place else (),
        _FIXES[flaw.kind],
        place=place,
        rank=flaw.line,
    )


def _more(flaw: Flaw, reading: Reading) -> str:
    if not flaw.more:
        return "" if reading.whole else "; reading stopped before the end"
    lines = f"{flaw.more} more line{'' if flaw.more == 1 else 's'} like it"
    return f" (and {lines})" if reading.whole else f" (and {lines} before reading stopped)"


def _what(flaw: Flaw) -> str:
    text = flaw.text if len(flaw.text) <= _SHOWN else f"{flaw.text[:_SHOWN]}..."
    match flaw.kind:
        case "encoding":
            return f"a byte that is no text in UTF-8 ({text})"
        case "header":
            return f"'{text}' is not the header {HEADER}, whose names fix the units"
        case "no-header":
            return f"'{text}' is a row already; the header {HEADER} is missing"
        case "comma":
            return f"'{text}' has a decimal comma"
        case "separator":
            return f"the columns are parted by {'a tab' if text == chr(9) else repr(text)}, not by a comma"
        case "fields":
            return f"'{text}' is not one frequency and one level"
        case "number":
            return f"'{text}' is no number{'; take the quotes off' if chr(34) in text else ''}"
        case "frequency":
            return f"{text} is no frequency from {LOW_MHZ:g} to {HIGH_MHZ:g} MHz{_other_unit(float(text))}"
        case "level":
            return _level(text)
        case "unsorted":
            return f"{text} stands below a higher frequency"
        case "repeated":
            return f"{text} is there twice"
        case "long-line":
            return f"a line of more than {MAX_LINE} bytes"
        case "empty":
            return "there is no row in it"


def _other_unit(value: float) -> str:
    for unit, per_mhz in (("kHz", 1e3), ("Hz", 1e6), ("GHz", 1e-3)):
        if LOW_MHZ <= value / per_mhz <= HIGH_MHZ:
            return f"; looks like {unit} ({value / per_mhz:g} MHz)"
    return ""


def _level(text: str) -> str:
    if float(text) > HIGH_DBM:
        return (
            f"{text} is more than {HIGH_DBM:g} dBm: the minus sign is lost, or it is dBuV (in 50 ohm "
            f"{dbm_to_dbuv(0):.0f} above dBm)"
        )
    return f"{text} is less than {LOW_DBM:g} dBm, below any noise"
