"""One page about a model a file; dropping a file with an ``AREA`` in is the whole registration."""
