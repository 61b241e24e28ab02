"""The compiled code of the pictures; kept as that of the cut is."""
