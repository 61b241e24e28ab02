"""handwheel: the bridge from manual milling to CNC."""

__version__ = "0.1.0"
