"""The compiled code of the cut, and how it is kept; a change of any file here renews all of it, no other file does."""
