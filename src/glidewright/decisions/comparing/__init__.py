"""What `compare` stands on: the same draws for two models, their figures, differences and costs."""
