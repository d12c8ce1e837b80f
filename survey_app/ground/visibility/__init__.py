"""What a point can see: exact shadows of solids on a plane, and the relief's own horizon on a grid."""
