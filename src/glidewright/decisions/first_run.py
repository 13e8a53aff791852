"""Whether the flight kernels must still be compiled, so that whoever waits can be told before."""

from glidewright.models.launch.flights import kernels_are_compiled

COMPILE_TIME_s = 20.0  # measured on two cores; said to people only, nothing depends on it


def must_compile() -> bool:
    """True when the next forecast compiles the kernels first."""
    return not kernels_are_compiled()
