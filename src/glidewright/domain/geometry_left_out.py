"""What stands in for measures of a shape that a folder leaves out, with the words that say so."""

from glidewright.base.figure import Given

AT_DATUM = Given(value=0.0, grade="measured", low=0.0, high=0.0, because="the datum, by definition")
ALIGNED = Given(value=0.0, grade="typical", because="left out, taken as in line")
STRAIGHT = Given(value=0.0, grade="typical", low=0.0, high=0.0, because="left out, taken as straight")
MIDDLE = Given(value=0.0, grade="typical", because="left out, taken on the centre line")
LEVEL = Given(value=0.0, grade="typical", because="left out, taken at the height of the datum")
