"""Score arithmetic: what a flight is worth, how launch height is counted, what a rule leads to."""
