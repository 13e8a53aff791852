"""Mass, centre of gravity and inertia from items."""
