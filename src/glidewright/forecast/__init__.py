"""From nouns and spreads to parameter draws, and from draws through the models to predictions."""
