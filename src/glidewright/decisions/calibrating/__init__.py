"""What calibrate stands on: nouns, what was learned in rows, packs and season."""
