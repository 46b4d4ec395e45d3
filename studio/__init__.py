"""Jigumi: from a client's call to a priced proposal and the work order behind it."""
