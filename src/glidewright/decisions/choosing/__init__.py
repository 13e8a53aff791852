"""What `choose` stands on: sets of parts as axes, a screen, the best settled, what may be said of them."""
