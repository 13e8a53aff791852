"""What `fair` stands on: builds that a class allows, what they cost and fly, what a limit does."""
