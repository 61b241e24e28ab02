"""The judge of both routes: what a cutter leaves of the stock, seen by rays; height map and gauge."""
