"""The compiled code of the checks; kept as that of the cut is."""
