"""The builder's words on findings, found again when a later check draws a finding's borders a little otherwise."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from noonwall.logs.records import Finding, Verdict

SLACK_S = 900  # one step of a common logger; common practice, no source
MOST_NEW_SHARE = 0.5  # of a finding that may lie outside what was judged; common practice, no source
SEVERAL = "several"  # role of a finding on more channels than one


@dataclass(frozen=True)
class Word:
    """The builder's word on a stretch of a channel; ``role`` is what the channel stood for then."""

    kind: str
    channel: str
    role: str
    from_s: int
    to_s: int
    verdict: Verdict

    @property
    def stretch(self) -> tuple[str, str, int, int]:
        """What tells one word from another."""
        return self.kind, self.channel, self.from_s, self.to_s


def role_of_finding(channel: str, roles: Mapping[str, str]) -> str:
    """Return the role of a finding's channel; one that is no channel's name stands for several."""
    return roles.get(channel, SEVERAL)


def with_words(
    findings: Sequence[Finding], words: Sequence[Word], roles: Mapping[str, str]
) -> tuple[Finding, ...]:
    """Return findings with the builder's words on them where there are any.

    roles   of the channels there are, by name
    """
    deciding = [deciding_word(item, words, roles) for item in findings]
    return tuple(
        item if word is None else replace(item, verdict=word.verdict)
        for item, word in zip(findings, deciding, strict=True)
    )


def deciding_word(finding: Finding, words: Sequence[Word], roles: Mapping[str, str]) -> Word | None:
    """Return the word that holds for a finding: the one on just this stretch, else the one that covers most of it.

    A word speaks for a finding of its kind, on its channel (or on one of its role where that channel is gone),
    of which at most half lies outside what was judged.
    """
    same = [word for word in words if _speaks(word, finding, roles)]
    exact = [w for w in same if (w.channel, w.from_s, w.to_s) == _place(finding)]
    if exact:
        return exact[0]
    covered = [(_covered_share(word, finding), _near_s(word, finding), word) for word in same]
    fit = [item for item in covered if item[0] >= 1.0 - MOST_NEW_SHARE]
    return max(fit, key=lambda item: item[:2])[2] if fit else None


def _place(finding: Finding) -> tuple[str, int, int]:
    return finding.channel, finding.from_s, finding.to_s


def _speaks(word: Word, finding: Finding, roles: Mapping[str, str]) -> bool:
    if word.kind != finding.kind or (word.verdict == "mended" and finding.mend is None):
        return False
    if word.channel == finding.channel:
        return True
    return word.channel not in roles and word.role == role_of_finding(finding.channel, roles)


def _covered_share(word: Word, finding: Finding) -> float:
    """Return the share of a finding that lies in what was judged, a step of a logger more on either side."""
    low, high = max(finding.from_s, word.from_s - SLACK_S), min(finding.to_s, word.to_s + SLACK_S)
    length = finding.to_s - finding.from_s
    if length == 0:
        return 1.0 if low == high else 0.0
    return max(high - low, 0) / length


def _near_s(word: Word, finding: Finding) -> int:
    """Return how near the borders of two stretches lie, nought at best [s]."""
    return -abs(word.from_s - finding.from_s) - abs(word.to_s - finding.to_s)
