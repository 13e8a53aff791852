"""What `controls` stands on: linkages, hinge loads, servos, throws and the brake."""
