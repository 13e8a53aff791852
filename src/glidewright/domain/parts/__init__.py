"""One part kind a file; each names its fields with unit, range and help."""
