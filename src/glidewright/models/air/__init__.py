"""The standard atmosphere and what a barometric instrument makes of it."""
