"""Readings as the builder reads them, and as one JSON document: imports, channels, findings."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, Any

from noonwall.logs.stamps import shown

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noonwall.logs.records import Channel, Finding, Import, Tally
    from noonwall.logs.store import Store

LIST_SCHEMA = "noonwall.readings/1"
FINDINGS_SCHEMA = "noonwall.findings/1"
NONE_YET = "no readings yet; noonwall readings add PROJECT FILE reads what a logger wrote"
_MARKS = {"used": "used as they are", "set aside": "SET ASIDE", "mended": "USED MENDED"}
_GAP_MARKS = {"used": "what else was read is used", "set aside": "THAT TIME IS LEFT OUT, ALL CHANNELS"}


def local(utc_s: int | None, utc_offset_h: float) -> str:
    """Return a moment in the site's standard time: 2025-02-03 13:05; a dash for none."""
    return "-" if utc_s is None else shown(utc_s + round(utc_offset_h * 3600.0))


def import_page(found: Import, utc_offset_h: float) -> str:
    """Return what an import brought, a few lines."""
    tally = found.tally
    if found.already:
        return f"{found.file}: read already, as import {found.id}; nothing was added"
    span = f"{local(tally.first_s, utc_offset_h)} to {local(tally.last_s, utc_offset_h)}"
    lines = [f"{found.file}: import {found.id}, {_brought(tally)}, {span}"]
    if tally.same:
        lines.append(f"  {tally.same:,} were there before, with the same value")
    if tally.conflicting:
        lines.append(
            f"  {tally.conflicting:,} were there before with another value: the earlier import's are used, "
            "these are kept beside them"
        )
    if tally.repeated:
        lines.append(f"  {tally.repeated:,} stamps come twice in the file: the first of each is used")
    return "\n".join([*lines, *(f"  {note}" for note in tally.notes)])


def _brought(tally: Tally) -> str:
    said = [f"{tally.new:,} new of {tally.readings + tally.remarks:,} readings in {tally.rows:,} rows"]
    said += [f"{tally.remarks:,} remarks"] if tally.remarks else []
    return ", ".join(said)


def list_page(store: Store, utc_offset_h: float) -> str:
    """Return imports and channels as a table."""
    imports, channels = store.imports(), store.channels()
    if not imports:
        return NONE_YET
    lines = ["imports"]
    for item in imports:
        first, last = (local(moment, utc_offset_h)[:10] for moment in (item.tally.first_s, item.tally.last_s))
        lines.append(f"  {item.id:>3}  {item.file[:40]:<40}  {first} to {last}  {_brought(item.tally)}")
    lines.append("channels")
    for channel in channels:
        span = store.span(channel)
        first, last = (local(moment, utc_offset_h)[:10] for moment in span) if span else ("-", "-")
        lines.append(f"  {channel.title[:48]:<48}  {first} to {last}  {store.count(channel):>12,}")
    return "\n".join(lines)


def list_document(store: Store) -> dict[str, Any]:
    """Return imports and channels as plain data for JSON; moments are seconds since 1970 UTC."""
    return {
        "schema": LIST_SCHEMA,
        "imports": [_import_data(item) for item in store.imports()],
        "channels": [_channel_data(store, item) for item in store.channels()],
    }


def _import_data(item: Import) -> dict[str, Any]:
    return {"id": item.id, "file": item.file, "made_s": item.made_s, **item.tally.as_dict()}


def _channel_data(store: Store, item: Channel) -> dict[str, Any]:
    span = store.span(item)
    return {
        "name": item.name,
        "role": item.role,
        "measure": item.measure,
        "kind": item.kind,
        "height_m": item.height_m,
        "plane": item.plane,
        "place": item.place,
        "readings": store.count(item),
        "first_s": span[0] if span else None,
        "last_s": span[1] if span else None,
    }


def findings_page(findings: Sequence[Finding], utc_offset_h: float, too_little: str = "") -> str:
    """Return findings by date, those that differ in their channel only as one.

    too_little   what the readings cannot tell, a sentence to end with
    """
    ending = [f"{too_little}."] if too_little else []
    if not findings:
        return "\n".join(["nothing doubtful was found", *ending])
    groups: dict[tuple[object, ...], list[Finding]] = defaultdict(list)
    for item in findings:
        groups[(item.kind, item.from_s, item.to_s, item.consequence, item.verdict)].append(item)
    lines = []
    for group in groups.values():
        item = group[0]
        numbers = ", ".join(str(one.id) for one in group)
        names = ", ".join(one.channel for one in group)
        first, last = local(item.from_s, utc_offset_h), local(item.to_s, utc_offset_h)
        lines.append(f"{numbers}: {item.kind}: {names}: {first} to {last}: {_mark(item)}")
        lines.append(f"    {item.consequence}")
    return "\n".join([*lines, *ending])


def _mark(item: Finding) -> str:
    return _GAP_MARKS.get(item.verdict, "") if item.kind == "gap" else _MARKS[item.verdict]


def findings_document(findings: Sequence[Finding], too_little: str = "") -> dict[str, Any]:
    """Return findings as plain data for JSON; moments are seconds since 1970 UTC.

    too_little   what the readings cannot tell
    """
    return {
        "schema": FINDINGS_SCHEMA,
        "too_little": too_little or None,
        "findings": [
            {
                "id": item.id,
                "kind": item.kind,
                "channel": item.channel,
                "from_s": item.from_s,
                "to_s": item.to_s,
                "evidence": item.evidence,
                "consequence": item.consequence,
                "verdict": item.verdict,
                "set_aside": item.set_aside,
                "can_be_mended": item.mend is not None and "daily_utc_s" not in item.mend,
            }
            for item in findings
        ],
    }
