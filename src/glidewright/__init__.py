"""glidewright: a trustworthy answer for an electric-launch model sailplane before it is built."""

__version__ = "0.1.0"
