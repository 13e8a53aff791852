"""One measurable limit a file: each defines MEASURE, and dropping the file in is the whole registration."""

from glidewright.base.registry import objects_below
from glidewright.rules.measure import Measure

MEASURES: dict[str, Measure] = {
    measure.name: measure for measure in objects_below(__name__, __path__, "MEASURE", Measure)
}
# what the reader of class files needs to know of them
MEASURE_UNITS: dict[str, str] = {name: measure.unit for name, measure in MEASURES.items()}
