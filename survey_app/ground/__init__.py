"""Where and which way: plane, bearings, magnetic north, landmarks."""
