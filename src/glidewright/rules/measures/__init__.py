"""One measurable limit a file."""
