"""What read stands on: nouns, what was expected, the day so far and its score sheet."""
