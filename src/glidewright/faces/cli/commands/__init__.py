"""One command a file; dropping a file with a ``JOB`` in is the whole registration."""
