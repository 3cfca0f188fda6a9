"""From two shadows on the ground to the distance of the Moon, with honest intervals."""

__version__ = "0.1.0"
