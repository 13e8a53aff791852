"""Lift and drag of the whole model."""
