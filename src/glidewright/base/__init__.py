"""Errors, units, figures with spread, draws and small machinery that knows nothing of physics."""
