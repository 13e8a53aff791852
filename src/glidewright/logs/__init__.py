"""From the bytes of a flight log to what happened in the flight; knows nothing of models."""
