"""Drawings on paper: the backplot, the set-up, the part, the part after each step, and a shaded picture.

All of them are in :mod:`handwheel.show.draw.drawings`; matplotlib is loaded with that module, and not before.
"""
