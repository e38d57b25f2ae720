"""The command or the record that settles an item of the worklist."""

from __future__ import annotations

from sitegen.findings.worklist import WorkItem

_NOTHING_HELPS = ("look", "room", "not-by-runs", "limit-stands")


def settled_by(item: WorkItem) -> str:
    """Return the command to type, or the record to write; ``""`` where neither helps.

    Words in capitals are the tester's to fill in. Commands and fields are the same in
    every language.
    """
    record = item.subject.partition(":")[2]
    if item.kind == "correction-open":
        return f"closed: DATE   (in records/changes/{record}.yaml)"
    if item.kind == "undecided":
        return f'sitegen run {record} --decide {item.codes[0]} "WHAT WAS FOUND"'
    if item.kind == "outlier":
        return f'sitegen run {record} --decide OUTLIER "WHAT WAS FOUND"'
    if item.kind.startswith("repeatability-"):
        return f"sitegen adopt {item.method}"
    if item.kind == "natural-old":
        return _natural(item.method)
    if item.kind == "sound-missing":
        return _record("sound", item.configuration)
    if item.kind == "claim-unanswered":
        return _claim(item, record)
    if item.settling is not None:
        return _of_result(item)
    return _run(item.configuration)


def _of_result(item: WorkItem) -> str:
    step = item.settling
    if step is None or step.remedy in _NOTHING_HELPS:
        return ""
    if step.remedy == "measure-again":
        return _record("power", item.configuration)
    if step.remedy == "new-method":
        return _run(item.configuration)
    if step.more_natural and not step.more:
        return _natural(item.method)
    return _run(item.configuration, item.method)


def _claim(item: WorkItem, device: str) -> str:
    if item.quantity == "power":
        return _record("power", f"{device}.FILTER.SPEED")
    return _run(f"{device}.FILTER.SPEED")


def _run(configuration: str, method: str = "") -> str:
    by = f" --method {method}" if method else ""
    return f"sitegen intake LOG --of {configuration}{by}"


def _natural(method: str) -> str:
    return f"sitegen intake LOG --natural --method {method}"


def _record(kind: str, configuration: str) -> str:
    parts = configuration.split(".")
    fields = ", ".join(
        f"{name}: {value}"
        for name, value in zip(("device", "filter", "speed"), parts, strict=True)
    )
    return f"kind: {kind}, {fields}   (a new record in records/runs)"
