"""What `glide` stands on: the polar in flight, its drag and brake, and how the model handles."""
