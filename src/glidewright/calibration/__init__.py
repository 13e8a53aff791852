"""Readings held against predictions: what they teach about a model."""
