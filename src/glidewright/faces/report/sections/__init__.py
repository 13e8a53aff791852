"""Sections of the report, one file each; dropping a file with a ``SECTION`` in is the whole registration."""
