"""Motor, controller, pack, propeller, and the operating point in which they agree."""
