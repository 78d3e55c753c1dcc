"""The errors of learning, as a branch of the one tree.

NoonwallError
└── ReadingsError
    └── LearningError        readings or kept values from which nothing can be learned or run
"""

from __future__ import annotations

from noonwall.logs.errors import ReadingsError


class LearningError(ReadingsError):
    """Nothing can be learned from these readings, or what was learned does not fit the project."""
