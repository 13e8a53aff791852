"""Controls: linkages, hinge moments, servos, pushrods, sticks; numbers and arrays in and out."""
