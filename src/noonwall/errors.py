"""The errors a user can cause, as one tree.

NoonwallError            anything the builder can mend; one line, exit code 2
├── ProjectError         the project file or folder
├── WeatherError         a weather file or typed months
├── UnitError            a quantity that does not read
├── OutputError          a file that cannot be written where it was asked for
└── SolveError           a calculation that did not close (never silently passed on)

Every message says where, what, wanted, got and, where one is known, the remedy.
"""

from __future__ import annotations


class NoonwallError(Exception):
    """Base of every error that is shown to the builder as one plain line."""


class ProjectError(NoonwallError):
    """The project file or folder cannot be used as it stands."""


class WeatherError(NoonwallError):
    """A weather file, or the months typed in its place, cannot be used."""


class UnitError(NoonwallError):
    """A quantity does not read as a number with a unit of the wanted kind."""


class OutputError(NoonwallError):
    """A file cannot be written where it was asked for; nothing half-written stays behind."""


class SolveError(NoonwallError):
    """A solve did not close; raised, never passed over."""
