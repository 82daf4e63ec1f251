"""What the crew chose: one optional `.planlint.yaml` at the root."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple, cast

from planlint.document import Document, Trouble, load
from planlint.document.files import CONFIG_NAME
from planlint.document.nodes import locate
from planlint.finding import Severity
from planlint.rules.base import Rule
from planlint.rules.registry import Loaded, by_id
from planlint.schema.read import walk
from planlint.schema.store import schema


class RuleChoice(NamedTuple):
    """What the crew set for one rule; None where it set nothing."""

    run: bool | None = None
    severity: Severity | None = None
    options: Mapping[str, Any] = {}


class Config(NamedTuple):
    """The configuration of a run."""

    fail_on: Severity = "error"
    skip: tuple[str, ...] = ()
    rules: Mapping[str, RuleChoice] = {}

    def runs(self, loaded: Loaded) -> bool:
        """Say whether a rule runs; the law and broken files cannot be switched off."""
        if loaded.rule.fixed:
            return True
        choice = self.rules.get(loaded.id)
        if choice is None or choice.run is None:
            return not loaded.rule.starts_off
        return choice.run

    def severity(self, name: str, rule: Rule, own: Severity | None, *, waivable: bool) -> Severity:
        """Return the severity of a fault: the crew's choice where the rule may be waived, else the rule's own."""
        choice = self.rules.get(name)
        if choice and choice.severity and waivable and not rule.fixed:
            return choice.severity
        return own or rule.severity

    def options(self, loaded: Loaded) -> Any:
        """Return a rule's options with the crew's values."""
        choice = self.rules.get(loaded.id)
        return loaded.options(**(choice.options if choice else {}))


class ConfigError(ValueError):
    """The configuration cannot be used; the message says at which line and what to do."""


def read_config(root: Path) -> Config:
    """Read `.planlint.yaml` at the root, if there is one.

    Raises:
        ConfigError: it is broken, or says something that planlint does not know.
    """
    if not (root / CONFIG_NAME).is_file():
        return Config()
    document = load(root, CONFIG_NAME)
    if document.root is None and not document.fatal and not document.text.strip():
        return Config()
    if document.fatal or document.root is None or document.troubles:
        trouble = document.troubles[0] if document.troubles else None
        what = trouble.values.get("what") or trouble.rule if trouble else "the file is no map of keys"
        raise ConfigError(f"{_where(document, trouble)}: {what}")
    found = walk(document.root, schema("config"))
    if not found.clean:
        from planlint.schema.explain import explain_any

        trouble = next(iter(explain_any(document.root, found.value, "config", found.refused)), None)
        if trouble is not None:
            raise ConfigError(f"{_where(document, trouble)}: {_say(trouble)}")
    return _build(document, found.value)


def _where(document: Document, trouble: Trouble | None) -> str:
    span = trouble.span if trouble else None
    return f"{document.file}:{span.line}:{span.column}" if span else f"{document.file}:1:1"


def _say(trouble: Trouble) -> str:
    values = trouble.values
    if trouble.rule == "unknown-key":
        near = values.get("near")
        return f"'{values['key']}' is no setting" + (f"; did you mean {near}?" if near else "")
    return f"{values.get('key', 'the value')}: {values.get('found', 'missing')} is not {values.get('wants', 'allowed')}"


def _build(document: Document, values: Mapping[str, Any]) -> Config:
    known = by_id()
    choices: dict[str, RuleChoice] = {}
    for name, choice in values.get("rules", {}).items():
        at = f"/rules/{name}"
        if name not in known:
            from planlint.schema.describe import nearest

            near = nearest(name, known)
            hint = f"; did you mean {near}?" if near else "; planlint rules lists them"
            raise ConfigError(f"{_at(document, at)}: no rule is called '{name}'{hint}")
        loaded = known[name]
        if loaded.rule.fixed and (choice.get("run") is False or "severity" in choice):
            raise ConfigError(
                f"{_at(document, at)}: '{name}' is about the law or a broken file: it always runs as it is"
            )
        options = _options(document, at, loaded, choice.get("options", {}))
        severity = cast("Severity | None", choice.get("severity"))
        choices[name] = RuleChoice(choice.get("run"), severity, options)
    return Config(
        fail_on=cast("Severity", values.get("fail_on", "error")),
        skip=tuple(values.get("skip", ())),
        rules=choices,
    )


def _options(document: Document, at: str, loaded: Loaded, written: Mapping[str, Any]) -> dict[str, Any]:
    """Return a rule's options as the rule holds them."""
    fields = loaded.options.__annotations__
    found = {}
    for key, value in written.items():
        pointer = f"{at}/options/{key}"
        if key not in fields:
            known = ", ".join(fields) or "none"
            raise ConfigError(f"{_at(document, pointer)}: '{key}' is no option of {loaded.id} (it has: {known})")
        from planlint.rules.option_values import OptionError, option_value

        try:
            found[key] = option_value(loaded.options, key, value)
        except OptionError as error:
            raise ConfigError(f"{_at(document, pointer, key=False)}: {error}") from None
    return found


def _at(document: Document, pointer: str, *, key: bool = True) -> str:
    assert document.root is not None
    span, _ = locate(document.root, pointer, key=key)
    return f"{document.file}:{span.line}:{span.column}"
