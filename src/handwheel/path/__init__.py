"""Lines, arcs, contours, offsets, cutter profiles: geometry and nothing else."""
