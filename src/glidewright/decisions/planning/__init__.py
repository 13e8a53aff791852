"""What `plan` stands on: the steps on the ground and in the air, and what may be seen from where."""
