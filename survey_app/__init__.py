"""Site survey and topology design for camera video over short licence-exempt radio hops."""

__version__ = "0.1.0"
