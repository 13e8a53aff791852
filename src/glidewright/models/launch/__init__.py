"""The launch in the vertical plane, once or many times from one pack."""
