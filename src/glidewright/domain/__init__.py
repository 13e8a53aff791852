"""The nouns of the trade, frozen: parts, airframe, air, class limits, weighings, corrections, the model."""
