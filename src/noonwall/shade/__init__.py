"""shade: what stands between sun, sky and ground and the wall, as shares of an open site."""

from noonwall.shade.record import WallShade
from noonwall.shade.wall import wall_shade

__all__ = ["WallShade", "wall_shade"]
