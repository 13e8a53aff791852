"""Class limits answered by the chance of keeping them."""
