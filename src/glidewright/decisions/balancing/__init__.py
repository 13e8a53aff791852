"""What `balance` stands on: what is known of the masses, where they may go, the search and its judge."""
